/*
 * dense.c - draws frames from a coded stream into a copy of the picture and sends what changed. Every choice (does this cell
 * change, is this pixel lit) is one binary symbol; how likely it is, a decision tree in flash says, which looks at the
 * picture around.
 */

/* The decision trees of a model, by number. */
enum { FRAME, CELL, MOVED, PIXEL };

/* What a frame's own choices are about, in group 0. */
enum { ASKS_STILL = 1, ASKS_INVERSION = 2, ASKS_PAGE = 4, WAS_STILL = 0x40 };

/* Bytes of a node: feature, threshold, and the length of what stands before the branch for a yes. */
enum { LONGEST_NODE = 4 };

/* Tree bytes from NODE on are nodes, less are leaves; features from NUMBERS on are held against a threshold. */
enum { NODE = 0x80, FEATURES = PAGELOOM_GROUPS * 8, NUMBERS = 120 };

/* The groups of features of a cell; */
enum { MARKS_ABOVE, MARKS_HERE, MARKS_BELOW, OLD, LEFT, RIGHT, LEFT_CHANGE, CELL_FACTS, FRAME_NUMBER, COLUMN_NUMBER, MOVEMENT };
/* of a pixel: rows in columns near, from two above to five below, ... */
enum { ROWS, ABOVE, ROWS_LEFT_1, ROWS_LEFT_2, ROWS_RIGHT, CHANGE_ROWS, ROWS_LEFT_3, PIXEL_FACTS, PLACE = 9, NOTHING = 10 };

/* Facts of a cell, the first two about the one on its left; and of a pixel, about its column so far. */
enum { IS_SHIFTED = 1, IS_DRAWN = 2, STAYS = 4, WAS_DARK = 8, LEFT_IS_DARK = 0x10, OPENS = 0x20 };
enum { WOULD_BE_LIT = 1, DIFFERS = 2, HAS_LIT = 0x20 };

/* Numbers that features hold against a threshold: of a pixel the row of the picture instead of the page; FRAMES and beyond. */
enum { COLUMN, PAGE_OR_ROW, SCENE, FRAMES };

/* Probabilities are in parts of this. */
enum { WHOLE = 0x1000 };

enum { LONGEST_GAP = 6, NOWHERE = 0x80, HERE_IN_MARKS = 4, TWO_COLUMNS_IN = 4 };
enum { WIDTH = PAGELOOM_COLUMNS, PAGES = PAGELOOM_PAGES };
enum { NORMAL = 0xA6, INVERSE = 0xA7 };

/* How far the drawing of a frame is; UNSENT: the cell at hand is drawn but not sent. */
enum { BETWEEN, IN_FRAME, IN_PAGE, UNSENT };

/*
 * Walks a tree; the leaf it comes to, by what `now` shows. It is 0 where a node begins in the last three bytes of the reel,
 * which behind a tree are never those of another.
 */
static uint8_t leaf(const pageloom_picture *picture, const uint8_t *at, const uint8_t *now)
{
    const uint8_t *last = picture->last_node;
    uint8_t steps = 0, node, bits, low;

    do {
        if (at > last) {
            return 0;
        }
        node = PAGELOOM_NEXT(at);
        if (node < NODE) {
            return node;
        }
        bits = 0;
        if (node < NODE + FEATURES) {
            bits = now[node >> 3 & 15];
            if (node & 4) {
                bits >>= 4;
            }
            if (node & 2) {
                bits >>= 2;
            }
            if (node & 1) {
                bits >>= 1;
            }
        } else if (node >= NODE + NUMBERS) {
            bits = picture->numbers[node & 7] > PAGELOOM_NEXT(at);
        }
        bits &= 1;
        low = PAGELOOM_NEXT(at);
        if (low < NODE) {
            if (!bits) {
                return low;
            }
        } else {
            uint8_t high = 0;

            low &= 0x7F;
            if (low & 0x40) {
                high = low & 0x3F;
                low = PAGELOOM_NEXT(at);
            }
            if (bits) {
                at += (uint16_t)((uint16_t)high << 8 | low);
            }
        }
    } while (++steps != 0);
    return 0;
}

/* Takes the next byte of the stream into the coder's state; beyond the reel 0. */
static APART void refill(pageloom_picture *picture)
{
    uint16_t at = picture->stream++;
    uint8_t byte = 0;

    if (at < (uint16_t)(picture->end - picture->reel)) {
        byte = PAGELOOM_READ(picture->reel + at);
    }
    picture->high = (uint8_t)(picture->low >> 8);
    picture->low = (uint16_t)(picture->low << 8 | byte);
}

/* One choice that a tree predicts. A leaf holds the less likely answer's share as mantissa and exponent. */
static APART uint8_t choose(pageloom_picture *picture, uint8_t tree, const uint8_t *now)
{
    uint8_t likely = leaf(picture, picture->roots[tree], now), answer = 1;
    uint16_t yes = (uint16_t)((uint16_t)((8 + (likely & 7)) << 7) >> (likely >> 3 & 7));
    uint16_t part = picture->low & (WHOLE - 1);
    uint16_t whole = (uint16_t)((uint16_t)picture->high << 4 | picture->low >> 12);
    uint32_t state;

    if (likely & 0x40) {
        yes = (uint16_t)(WHOLE - yes);
    }
    if (part >= yes) {
        answer = 0;
        part = (uint16_t)(part - yes);
        yes = (uint16_t)(WHOLE - yes);
    }
    state = (uint32_t)yes * whole + part;
    picture->low = (uint16_t)state;
    picture->high = (uint8_t)(state >> 16);
    if (picture->high == 0) {
        refill(picture);
        if (picture->high == 0) {
            refill(picture);
        }
    }
    return answer;
}

/* Sets a group to the rows of a column so far away, from two above this page on; dark outside. */
static APART void look_at_rows(pageloom_picture *picture, uint8_t group, int8_t away)
{
    const uint8_t *at;
    uint16_t all = 0;

    if ((uint8_t)(picture->numbers[COLUMN] + away) < WIDTH) {
        at = picture->here + away;
        all = (uint16_t)(*at << 2);
        if (picture->page > 0) {
            all |= at[-WIDTH] >> 6;
        }
        if (picture->page < PAGES - 1) {
            all |= (uint16_t)((uint16_t)at[WIDTH] << 10);
        }
    }
    picture->pixel[group] = (uint8_t)all;
    picture->below[group] = (uint8_t)(all >> 8);
}

/* Looks around for the first pixel of the cell at hand. */
static void begin_pixels(pageloom_picture *picture)
{
    uint8_t facts = picture->cell[CELL_FACTS], over = 0, above = 0, bit;

    picture->pixel[PIXEL_FACTS] =
        (uint8_t)((facts & (LEFT_IS_DARK | OPENS)) << 2 | ((facts & IS_DRAWN) | (picture->cell[MARKS_HERE] & 0x0C)) << 1);
    picture->pixel[CHANGE_ROWS] = (uint8_t)(picture->cell[LEFT_CHANGE] << 2);
    picture->below[CHANGE_ROWS] = picture->cell[LEFT_CHANGE] >> 6;
    picture->pixel[PLACE] = picture->numbers[COLUMN] & 31;
    look_at_rows(picture, ROWS, 0);
    look_at_rows(picture, ROWS_LEFT_1, -1);
    look_at_rows(picture, ROWS_LEFT_2, -2);
    look_at_rows(picture, ROWS_LEFT_3, -3);
    look_at_rows(picture, ROWS_RIGHT, 1);
    if (picture->page > 0) {
        over = picture->here[-WIDTH];
    }
    for (bit = 8; bit > 0; bit--) { /* the nearest row in bit 0 */
        above = (uint8_t)(above << 1 | (over & 1));
        over >>= 1;
    }
    picture->pixel[ABOVE] = above;
}

/* Moves groups on by one feature each, which come from what is after or below them. */
static void move_on(uint8_t *group, uint8_t *behind, uint8_t count)
{
    for (; count > 0; count--) {
        uint8_t features = *group >> 1, next = *behind;

        if (next & 1) {
            features |= 0x80;
        }
        *group++ = features;
        *behind++ = next >> 1;
    }
}

/* Moves on to the next row, whose pixel above is the last one drawn. */
static void next_pixel(pageloom_picture *picture, uint8_t lit)
{
    uint8_t above = (uint8_t)(picture->pixel[ABOVE] << 1 | lit);

    move_on(picture->pixel, picture->below, PIXEL_FACTS);
    picture->pixel[ABOVE] = above;
    picture->pixel[PLACE] = (uint8_t)(picture->pixel[PLACE] + 32);
    picture->numbers[PAGE_OR_ROW]++;
}

/* Draws the cell at hand pixel by pixel. */
static APART uint8_t pixels(pageloom_picture *picture, uint8_t old, uint8_t moved)
{
    uint8_t fresh = 0, count, lit, facts;

    begin_pixels(picture);
    picture->numbers[PAGE_OR_ROW] = (uint8_t)(picture->page * 8);
    for (count = 8; count > 0; count--) {
        facts = picture->pixel[PIXEL_FACTS] & (uint8_t)~WOULD_BE_LIT;
        picture->pixel[PIXEL_FACTS] = facts | (moved & 1);
        lit = choose(picture, PIXEL, picture->pixel);
        fresh >>= 1;
        if (lit) {
            fresh |= 0x80;
            picture->pixel[PIXEL_FACTS] |= HAS_LIT;
        }
        if (lit != (old & 1)) {
            picture->pixel[PIXEL_FACTS] |= DIFFERS;
        }
        old >>= 1;
        moved >>= 1;
        next_pixel(picture, lit);
    }
    picture->numbers[PAGE_OR_ROW] = picture->page;
    return fresh;
}

/* Takes up the marks from two columns on the left on, in this page and those above and below: where a byte of them begins. */
static APART void take_marks(pageloom_picture *picture)
{
    const uint8_t *mark = picture->mark - PAGELOOM_MARKS;
    uint8_t at, low, high;

    for (at = 0; at < 3; at++) {
        low = mark[0];
        high = mark[1];
        if (picture->numbers[COLUMN] == 0) {
            high = low >> 6;
            low = (uint8_t)(low << 2);
        }
        picture->cell[at] = low;
        picture->marked[at] = high;
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

/* Draws the cell at hand; whether it changed. */
static APART uint8_t draw_cell(pageloom_picture *picture)
{
    uint8_t *now = picture->cell;
    uint8_t old = *picture->here, moved = old, fresh = old, facts = picture->facts, changed;

    if (picture->moves) {
        moved = moved_here(picture);
    }
    if (picture->numbers[COLUMN] == 0 || picture->bit == TWO_COLUMNS_IN) {
        take_marks(picture);
    } else {
        move_on(now, picture->marked, 3);
    }
    now[OLD] = old;
    now[RIGHT] = 0;
    if (picture->numbers[COLUMN] < WIDTH - 1) {
        now[RIGHT] = picture->here[1];
    }
    now[COLUMN_NUMBER] = picture->numbers[COLUMN];
    now[MOVEMENT] = old ^ moved;
    if (old == moved) {
        facts |= STAYS;
    }
    if (old == 0) {
        facts |= WAS_DARK;
    }
    if (now[LEFT] == 0) {
        facts |= LEFT_IS_DARK;
    }
    now[CELL_FACTS] = facts;
    facts = 0;
    if (choose(picture, CELL, now)) {
        if (moved != old && choose(picture, MOVED, now)) {
            fresh = moved;
            facts = IS_SHIFTED;
        } else {
            fresh = pixels(picture, old, moved);
            facts = IS_DRAWN;
        }
    }
    *picture->here = fresh;
    picture->facts = facts | picture->key;
    now[LEFT] = fresh;
    now[LEFT_CHANGE] = fresh ^ old;
    changed = fresh != old ? HERE_IN_MARKS : 0;
    if ((now[MARKS_HERE] & HERE_IN_MARKS) != changed) {
        now[MARKS_HERE] ^= HERE_IN_MARKS;
        *picture->mark ^= picture->bit;
    }
    return changed;
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

/* A choice about the frame or the page that begins; leaves the last group of a pixel 0, as it stays. */
static APART uint8_t ask(pageloom_picture *picture, uint8_t about)
{
    uint8_t *now = picture->pixel, group;

    for (group = 0; group < PAGELOOM_GROUPS; group++) {
        now[group] = 0;
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
    now[0] = about | picture->was_still;
    now[FRAME_NUMBER] = picture->numbers[FRAMES];
    return choose(picture, FRAME, now);
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
    picture->facts = picture->key;
    picture->cell[LEFT] = 0;
    picture->cell[LEFT_CHANGE] = 0;
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
    uint8_t at;

    open_page(picture, 0);
    picture->inverts = 0;
    for (at = FRAMES; at < sizeof picture->numbers; at++) {
        picture->numbers[at] = picture->numbers[FRAMES];
    }
    picture->cell[FRAME_NUMBER] = picture->numbers[FRAMES];
    picture->pixel[FRAME_NUMBER] = picture->numbers[FRAMES];
    if (!picture->key) {
        uint8_t still = ask(picture, ASKS_STILL);

        picture->was_still = 0;
        if (still) {
            picture->was_still = WAS_STILL;
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
static APART uint8_t send_cell(pageloom_player *player)
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
        if (player->room == 0) {
            status = begin(player, DATA, 1);
            if (status != GO_ON) {
                return status;
            }
            make_room(player);
        }
        player->room--;
        status = send_byte(player, *(picture->here - before));
        if (status != GO_ON) {
            return status;
        }
        picture->pointer++;
    } while (before-- > 0);
    return GO_ON;
}

/* Begins a frame, or a page of it, or ends it; in a page that changes, GO_ON means its first cell. */
static APART uint8_t find_page(pageloom_player *player)
{
    pageloom_picture *picture = &player->picture;

    if (picture->stage == BETWEEN) {
        picture->numbers[SCENE] = player->scene;
        begin_frame(picture);
    }
    if (picture->page >= PAGES) {
        return end_frame(player);
    }
    if (page_changes(picture)) {
        picture->stage = IN_PAGE;
    } else {
        open_page(picture, (uint8_t)(picture->page + 1));
    }
    return GO_ON;
}

/* A part of a frame: one cell at most. */
static APART uint8_t draw(pageloom_player *player)
{
    pageloom_picture *picture = &player->picture;
    uint8_t status;

    if (picture->stage < IN_PAGE) {
        status = find_page(player);
        if (picture->stage < IN_PAGE) {
            return status;
        }
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
    picture->last_node = picture->end - LONGEST_NODE;
    picture->pixel[NOTHING] = 0;
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
        picture->moves = first & 0x7F;
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
