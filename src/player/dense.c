/*
 * dense.c - draws frames from a coded stream into a copy of the picture and sends what changed. Every choice (does this cell
 * change, is this pixel lit) is one binary symbol; how likely it is, a decision tree in flash says, which looks at the
 * picture around.
 */

/* The decision trees of a model, by number. */
enum { FRAME, CELL, MOVED, PIXEL };

/* What a frame's own choices are about, in group 0. */
enum { ASKS_STILL = 1, ASKS_INVERSION = 2, ASKS_PAGE = 4 };

/* Tree bytes from NODE on are nodes, less are leaves; features from NUMBERS on are held against a threshold. */
enum { NODE = 0x80, FEATURES = PAGELOOM_GROUPS * 8, NUMBERS = 120 };

/* The groups of features of a cell; */
enum { MARKS_ABOVE, MARKS_HERE, MARKS_BELOW, OLD, LEFT, RIGHT, LEFT_CHANGE, CELL_FACTS, FRAME_NUMBER, COLUMN_NUMBER, MOVEMENT };
/* of a pixel: rows in columns near, from two above to five below, ... */
enum { ROWS, ABOVE, ROWS_LEFT_1, ROWS_LEFT_2, ROWS_RIGHT, CHANGE_ROWS, ROWS_LEFT_3, PIXEL_FACTS, PLACE = 9, NOTHING = 10 };

/* Facts of a cell, the first two about the one on its left; and of a pixel, about its column so far. */
enum { IS_SHIFTED = 1, IS_DRAWN = 2, STAYS = 4, WAS_DARK = 8, LEFT_IS_DARK = 0x10, OPENS = 0x20 };
enum { WOULD_BE_LIT = 1, DIFFERS = 2, HAS_LIT = 0x20 };

/* Numbers that features hold against a threshold: of a pixel the row of the picture instead of the page. */
enum { COLUMN, PAGE_OR_ROW, SCENE, FRAMES };

enum { PROBABILITY_BITS = 12, LONGEST_GAP = 6, NOWHERE = 0x80, HERE_IN_MARKS = 4, TWO_COLUMNS_IN = 4 };
enum { WIDTH = PAGELOOM_COLUMNS, PAGES = PAGELOOM_PAGES };
enum { NORMAL = 0xA6, INVERSE = 0xA7 };

/* How far the drawing of a frame is; UNSENT: the cell at hand is drawn but not sent. */
enum { BETWEEN, IN_FRAME, IN_PAGE, UNSENT };

/* The next byte of the stream; beyond the reel 0. */
static APART uint8_t stream_byte(pageloom_picture *picture)
{
    uint16_t at = picture->stream++;

    return at < (uint16_t)(picture->end - picture->reel) ? PAGELOOM_READ(picture->reel + at) : 0;
}

/* Walks a tree; the leaf it comes to, which is 0 where it leaves the reel. */
static uint8_t leaf(const pageloom_picture *picture, const uint8_t *at)
{
    const uint8_t *end = picture->end;
    uint8_t steps = 0, node, bits, low;
    uint16_t skip;

    do {
        if (at >= end) {
            return 0;
        }
        node = PAGELOOM_READ(at++);
        if (node < NODE) {
            return node;
        }
        node &= NODE - 1;
        bits = 0;
        if (node < FEATURES) {
            bits = (uint8_t)picture->now[node >> 3];
            if (node & 4) {
                bits >>= 4;
            }
            if (node & 2) {
                bits >>= 2;
            }
            if (node & 1) {
                bits >>= 1;
            }
        } else if (node >= NUMBERS) {
            low = at < end ? PAGELOOM_READ(at++) : 0;
            node = (uint8_t)(node - NUMBERS);
            bits = picture->numbers[node < FRAMES ? node : FRAMES] > low;
        }
        if (at >= end) {
            low = 0;
        } else {
            low = PAGELOOM_READ(at++);
        }
        if (low < NODE) {
            if (!(bits & 1)) {
                return low;
            }
            continue;
        }
        skip = low & 0x3F;
        if (low & 0x40) {
            skip <<= 8;
            if (at < end) {
                skip |= PAGELOOM_READ(at++);
            }
        }
        if (bits & 1) {
            if (skip >= (uint16_t)(end - at)) {
                return 0;
            }
            at += skip;
        }
    } while (++steps != 0);
    return 0;
}

/* One choice that a tree predicts. A leaf holds the less likely answer's share as mantissa and exponent. */
static APART uint8_t choose(pageloom_picture *picture, uint8_t tree)
{
    uint8_t likely = leaf(picture, picture->roots[tree]), answer = 1, high, bytes;
    uint16_t yes = (uint16_t)((uint16_t)((8 + (likely & 7)) << 7) >> (likely >> 3 & 7));
    uint16_t part = picture->low & ((1u << PROBABILITY_BITS) - 1);
    uint16_t whole = (uint16_t)((uint16_t)picture->high << 4 | picture->low >> PROBABILITY_BITS);
    uint16_t low;
    uint32_t state;

    if (likely & 0x40) {
        yes = (uint16_t)((1u << PROBABILITY_BITS) - yes);
    }
    if (part >= yes) {
        answer = 0;
        part = (uint16_t)(part - yes);
        yes = (uint16_t)((1u << PROBABILITY_BITS) - yes);
    }
    state = (uint32_t)yes * whole + part;
    low = (uint16_t)state;
    high = (uint8_t)(state >> 16);
    for (bytes = 2; bytes > 0 && high == 0; bytes--) {
        high = (uint8_t)(low >> 8);
        low = (uint16_t)(low << 8 | stream_byte(picture));
    }
    picture->low = low;
    picture->high = high;
    return answer;
}

/* The rows of a column so far away, from two above this page to the sixth below it; 0 outside. */
static APART uint16_t rows(const pageloom_picture *picture, int8_t away)
{
    const uint8_t *at;
    uint16_t all;

    if ((uint8_t)(picture->numbers[COLUMN] + away) >= WIDTH) {
        return 0;
    }
    at = picture->here + away;
    all = (uint16_t)(*at << 2);
    if (picture->page > 0) {
        all |= at[-WIDTH] >> 6;
    }
    if (picture->page < PAGES - 1) {
        all |= (uint16_t)((uint16_t)at[WIDTH] << 10);
    }
    return all;
}

/* Looks around for the first pixel of the cell at hand. */
static void begin_pixels(pageloom_picture *picture)
{
    uint16_t *now = picture->now;
    uint8_t facts = (uint8_t)now[CELL_FACTS], over = 0, above = 0, bit;

    now[PIXEL_FACTS] = (uint8_t)((facts & (LEFT_IS_DARK | OPENS)) << 2 | ((facts & IS_DRAWN) | (now[MARKS_HERE] & 0x0C)) << 1);
    now[CHANGE_ROWS] = (uint16_t)(now[LEFT_CHANGE] << 2);
    now[NOTHING] = 0;
    now[PLACE] = picture->numbers[COLUMN] & 31;
    now[ROWS] = rows(picture, 0);
    now[ROWS_LEFT_1] = rows(picture, -1);
    now[ROWS_LEFT_2] = rows(picture, -2);
    now[ROWS_LEFT_3] = rows(picture, -3);
    now[ROWS_RIGHT] = rows(picture, 1);
    if (picture->page > 0) {
        over = picture->here[-WIDTH];
    }
    for (bit = 8; bit > 0; bit--) { /* the nearest row in bit 0 */
        above = (uint8_t)(above << 1 | (over & 1));
        over >>= 1;
    }
    now[ABOVE] = above;
}

/* Draws the cell at hand pixel by pixel. */
static uint8_t pixels(pageloom_picture *picture, uint8_t old, uint8_t moved)
{
    uint8_t fresh = 0, left, group;

    begin_pixels(picture);
    picture->numbers[PAGE_OR_ROW] = (uint8_t)(picture->page * 8);
    for (left = 8; left > 0; left--) {
        uint8_t facts = (uint8_t)picture->now[PIXEL_FACTS] & (uint8_t)~WOULD_BE_LIT, lit;

        picture->now[PIXEL_FACTS] = facts | (moved & 1);
        lit = choose(picture, PIXEL);
        fresh >>= 1;
        facts = (uint8_t)picture->now[PIXEL_FACTS];
        if (lit) {
            fresh |= 0x80;
            facts |= HAS_LIT;
        }
        if (lit != (old & 1)) {
            facts |= DIFFERS;
        }
        picture->now[PIXEL_FACTS] = facts;
        old >>= 1;
        moved >>= 1;
        picture->now[ABOVE] = (uint16_t)(picture->now[ABOVE] << 2 | (uint8_t)(lit << 1)); /* as it is to be moved back */
        for (group = 0; group < PIXEL_FACTS; group++) {
            picture->now[group] >>= 1;
        }
        picture->now[PLACE] += 32;
        picture->numbers[PAGE_OR_ROW]++;
    }
    picture->numbers[PAGE_OR_ROW] = picture->page;
    return fresh;
}

/* Takes up the marks around the cell at hand, in its page and those above and below: from two on its left to its right. */
static void look_at_marks(pageloom_picture *picture)
{
    const uint8_t *mark = picture->mark - PAGELOOM_MARKS;
    uint8_t column = picture->numbers[COLUMN], at;

    for (at = 0; at < 3; at++) {
        uint16_t marked = (uint16_t)(picture->marked[at] >> 1);

        if (column == 0) {
            marked = (uint16_t)(*mark << 2);
        } else if (picture->bit == TWO_COLUMNS_IN) {
            marked = (uint16_t)(*mark | (uint16_t)mark[1] << 8);
        }
        picture->marked[at] = marked;
        picture->now[at] = marked;
        mark += PAGELOOM_MARKS;
    }
}

/* The cell at hand as the scene's movement brings it here. */
static uint8_t moved_here(const pageloom_picture *picture)
{
    const uint8_t *from;
    uint16_t both;

    if ((uint8_t)(picture->numbers[COLUMN] + picture->left) >= WIDTH) {
        return 0;
    }
    from = picture->here + picture->left;
    both = *from;
    if (picture->page < PAGES - 1) {
        both |= (uint16_t)((uint16_t)from[WIDTH] << 8);
    }
    return (uint8_t)(both >> picture->up);
}

/* Looks around for the choices about the cell at hand. */
static void look_around(pageloom_picture *picture, uint8_t old, uint8_t moved)
{
    uint16_t *now = picture->now;
    uint8_t column = picture->numbers[COLUMN], left = 0, facts = picture->kind;

    look_at_marks(picture);
    now[RIGHT] = 0;
    if (column < WIDTH - 1) {
        now[RIGHT] = picture->here[1];
    }
    if (column > 0) {
        left = picture->here[-1];
    }
    now[OLD] = old;
    now[LEFT] = left;
    now[LEFT_CHANGE] = left ^ picture->before;
    now[COLUMN_NUMBER] = column;
    now[MOVEMENT] = old ^ moved;
    if (old == moved) {
        facts |= STAYS;
    }
    if (old == 0) {
        facts |= WAS_DARK;
    }
    if (left == 0) {
        facts |= LEFT_IS_DARK;
    }
    now[CELL_FACTS] = facts | picture->key;
}

/* Draws the cell at hand; whether it changed. */
static uint8_t draw_cell(pageloom_picture *picture)
{
    uint8_t old = *picture->here, moved = moved_here(picture), fresh = old, kind = 0;

    look_around(picture, old, moved);
    if (choose(picture, CELL)) {
        if (moved != old && choose(picture, MOVED)) {
            fresh = moved;
            kind = IS_SHIFTED;
        } else {
            fresh = pixels(picture, old, moved);
            kind = IS_DRAWN;
        }
    }
    *picture->here = fresh;
    picture->before = old;
    picture->kind = kind;
    *picture->mark &= (uint8_t)~picture->bit;
    picture->marked[MARKS_HERE] &= (uint16_t)~HERE_IN_MARKS;
    if (fresh == old) {
        return 0;
    }
    *picture->mark |= picture->bit;
    picture->marked[MARKS_HERE] |= HERE_IN_MARKS;
    return 1;
}

/* Whether the page whose marks these are has any. */
static APART uint8_t busy(const uint8_t *mark)
{
    uint8_t at, any = 0;

    for (at = PAGELOOM_MARKS; at > 0; at--) {
        any |= *mark++;
    }
    return any;
}

/* A choice about the frame or the page that begins. */
static uint8_t ask(pageloom_picture *picture, uint8_t about)
{
    uint8_t group;

    for (group = 0; group < PAGELOOM_GROUPS; group++) {
        picture->now[group] = 0;
    }
    if (busy(picture->mark)) {
        about |= 8;
    }
    if (busy(picture->mark - PAGELOOM_MARKS)) {
        about |= 0x10;
    }
    if (busy(picture->mark + PAGELOOM_MARKS)) {
        about |= 0x20;
    }
    if (picture->was_still) {
        about |= 0x40;
    }
    picture->now[0] = about;
    picture->now[FRAME_NUMBER] = picture->numbers[FRAMES];
    return choose(picture, FRAME);
}

static APART void unmark(pageloom_picture *picture)
{
    uint8_t at;

    for (at = 0; at < sizeof picture->marks; at++) {
        picture->marks[at] = 0;
    }
    picture->was_still = 0;
}

/* Knows no model, and no marks around the picture. */
static void begin_picture(pageloom_player *player)
{
    player->picture.has_model = 0;
    unmark(&player->picture);
}

/* Goes to the start of a page, which is still to be asked about. */
static APART void open_page(pageloom_picture *picture, uint8_t page)
{
    picture->stage = IN_FRAME;
    picture->page = page;
    picture->numbers[COLUMN] = 0;
    picture->numbers[PAGE_OR_ROW] = page;
    picture->here = picture->cells + (uint16_t)(page * WIDTH);
    picture->mark = picture->marks + (uint8_t)((page + 1) * PAGELOOM_MARKS);
    picture->bit = 1;
    picture->pointer = NOWHERE;
    picture->before = 0;
    picture->kind = 0;
}

/* Whether any cell of the page that begins changes. */
static uint8_t page_changes(pageloom_picture *picture)
{
    uint8_t at;

    if (picture->key || ask(picture, ASKS_PAGE)) {
        return 1;
    }
    for (at = 0; at < PAGELOOM_MARKS; at++) {
        picture->mark[at] = 0;
    }
    return 0;
}

/* A frame begins: whether anything changes, and whether light and dark are exchanged. */
static void begin_frame(pageloom_picture *picture)
{
    open_page(picture, 0);
    picture->inverts = 0;
    picture->now[FRAME_NUMBER] = picture->numbers[FRAMES];
    if (!picture->key) {
        picture->was_still = ask(picture, ASKS_STILL);
        if (picture->was_still) {
            picture->page = PAGES;
        } else {
            picture->inverts = ask(picture, ASKS_INVERSION);
        }
    }
}

static uint8_t end_frame(pageloom_player *player)
{
    pageloom_picture *picture = &player->picture;

    if (picture->inverts) {
        uint8_t status = begin(player, COMMANDS, 1);

        if (status == GO_ON) {
            status = send_byte(player, picture->inverted ? NORMAL : INVERSE);
        }
        if (status != GO_ON) {
            return status;
        }
        picture->inverted = !picture->inverted;
    }
    picture->stage = BETWEEN;
    if (picture->key) {
        picture->key = 0;
        unmark(picture);
    }
    picture->numbers[FRAMES]++;
    player->draws--;
    if (player->draws > 0) {
        return frame_ends(player, WAITING, 0);
    }
    return GO_ON;
}

/* Sends the cell at hand, and before it those since the pointer if they are few. */
static uint8_t send_cell(pageloom_player *player)
{
    pageloom_picture *picture = &player->picture;
    uint8_t column = picture->numbers[COLUMN], before = (uint8_t)(column - picture->pointer), status;

    if (before > LONGEST_GAP) {
        status = seek(player, 0xB0 | picture->page, (uint8_t)(picture->first_column + column));
        if (status == GO_ON) {
            status = close_transaction(player);
        }
        if (status != GO_ON) {
            return status;
        }
        before = 0;
        picture->pointer = column;
    }
    do {
        status = make_room(player);
        if (status == GO_ON) {
            player->room--;
            status = send_byte(player, *(picture->here - before));
        }
        if (status != GO_ON) {
            return status;
        }
        picture->pointer++;
    } while (before-- > 0);
    return GO_ON;
}

/* A part of a frame: one cell at most. */
static uint8_t draw(pageloom_player *player)
{
    pageloom_picture *picture = &player->picture;
    uint8_t status;

    if (picture->stage == BETWEEN) {
        picture->numbers[SCENE] = player->scene;
        begin_frame(picture);
    }
    if (picture->page >= PAGES) {
        return end_frame(player);
    }
    if (picture->stage == IN_FRAME) {
        if (!page_changes(picture)) {
            open_page(picture, (uint8_t)(picture->page + 1));
            return GO_ON;
        }
        picture->stage = IN_PAGE;
    }
    if (picture->stage == UNSENT || draw_cell(picture) || picture->key) {
        picture->stage = UNSENT;
        status = send_cell(player);
        if (status != GO_ON) {
            return status;
        }
        picture->stage = IN_PAGE;
    }
    picture->here++;
    picture->bit = (uint8_t)(picture->bit << 1);
    if (picture->bit == 0) {
        picture->bit = 1;
        picture->mark++;
    }
    picture->numbers[COLUMN]++;
    if (picture->numbers[COLUMN] >= WIDTH) {
        open_page(picture, (uint8_t)(picture->page + 1));
    }
    return GO_ON;
}

/* Takes up the model that all streams are drawn by. */
static uint8_t open_model(pageloom_player *player)
{
    pageloom_picture *picture = &player->picture;
    uint16_t model = next_word(player), behind = player->at;
    uint8_t status = GO_ON, tree;

    picture->reel = player->reel;
    picture->end = player->reel + player->reel_size;
    player->at = model;
    picture->has_model = model != 0;
    if (next_byte(player) != WIDTH || next_byte(player) != PAGES) {
        status = PAGELOOM_FAULT;
    }
    picture->first_column = next_byte(player);
    for (tree = 0; tree < PAGELOOM_TREES; tree++) {
        uint16_t root = (uint16_t)(model + next_word(player));

        picture->roots[tree] = player->reel + (root < player->reel_size ? root : player->reel_size);
    }
    player->at = behind;
    return status;
}

/* Opens a stream: where a scene opens, or at one of its frames. */
static uint8_t open_stream(pageloom_player *player, uint8_t operation)
{
    pageloom_picture *picture = &player->picture;
    uint8_t first;
    uint16_t at;

    picture->stage = BETWEEN;
    if (operation == OP_MODEL) {
        return open_model(player);
    }
    if (!picture->has_model) {
        return PAGELOOM_FAULT;
    }
    first = next_byte(player);
    picture->stream = next_word(player);
    picture->low = next_word(player);
    picture->high = next_byte(player);
    if (operation == OP_KEY) {
        picture->left = first & 15;
        picture->up = first >> 4 & 7;
        first = 0;
        picture->key = OPENS;
        picture->inverted = 0;
        for (at = 0; at < sizeof picture->cells; at++) {
            picture->cells[at] = 0;
        }
    }
    picture->numbers[FRAMES] = first;
    if (operation != OP_AGAIN) {
        unmark(picture);
    }
    return GO_ON;
}
