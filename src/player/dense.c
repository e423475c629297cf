/*
 * dense.c - draws frames from a coded stream into a copy of the picture and sends what changed. Every choice (does this cell
 * change, is this pixel lit) is one binary symbol; how likely it is, a decision tree in flash says, which looks at the
 * picture around.
 */

/* The decision trees of a model, by number. */
enum { FRAME, CELL, MOVED, PIXEL };

/* A model: width, pages, first column of memory, then where each tree starts. */
enum { MODEL_WIDTH = 0, MODEL_PAGES = 1, MODEL_COLUMN = 2, MODEL_ROOTS = 3 };

/* What a frame's own choices are about. */
enum { ASKS_STILL = 1, ASKS_INVERSION = 2, ASKS_PAGE = 4 };

/* Tree bytes from NODE on are nodes, less are leaves; features from NUMBERS on are held against a threshold. */
enum { NODE = 0x80, NUMBERS = 120 };

/* How a cell came to its new value. */
enum { SAME, SHIFTED, DRAWN };

enum { PROBABILITY_BITS = 12, LONGEST_GAP = 6, NOWHERE = 0xFF };
enum { WIDTH = PAGELOOM_COLUMNS, PAGES = PAGELOOM_PAGES, MARKS_A_PAGE = (PAGELOOM_COLUMNS + 7) / 8 };
enum { NORMAL = 0xA6, INVERSE = 0xA7 };

#define LEAST_STATE 0x10000ul

/* The byte of a cell; 0 outside. */
static APART uint8_t cell(const pageloom_picture *picture, uint8_t page, uint8_t column)
{
    if (page >= PAGES || column >= WIDTH) {
        return 0;
    }
    return picture->cells[(uint16_t)(page * WIDTH + column)];
}

static uint8_t on_the_left(const pageloom_picture *picture)
{
    return cell(picture, picture->page, (uint8_t)(picture->column - 1));
}

static uint8_t mark_byte(const pageloom_picture *picture, uint8_t page, uint8_t at)
{
    if (page >= PAGES || at >= MARKS_A_PAGE) {
        return 0;
    }
    return picture->marks[(uint8_t)(page * MARKS_A_PAGE + at)];
}

/* The marks of the cells from two on the left to five on the right. */
static APART uint8_t marked(const pageloom_picture *picture, uint8_t page)
{
    uint8_t from = (uint8_t)(picture->column + 6), at = from >> 3;
    uint16_t both = (uint16_t)((uint16_t)mark_byte(picture, page, at) << 8 | mark_byte(picture, page, (uint8_t)(at - 1)));

    return (uint8_t)(both >> (from & 7));
}

static APART void mark(pageloom_picture *picture, uint8_t changed)
{
    uint8_t *byte = picture->marks + (uint8_t)(picture->page * MARKS_A_PAGE + (picture->column >> 3));
    uint8_t bit = (uint8_t)(1 << (picture->column & 7));

    *byte = (uint8_t)(changed ? *byte | bit : *byte & ~bit);
}

/* Whether a page has marks. */
static uint8_t busy(const pageloom_picture *picture, uint8_t page)
{
    uint8_t at, any = 0;

    for (at = 0; at < MARKS_A_PAGE; at++) {
        any |= mark_byte(picture, page, at);
    }
    return any != 0;
}

/* Two rows above to five rows below the row at hand, in a column. */
static APART uint8_t rows(const pageloom_picture *picture, uint8_t column)
{
    uint8_t page = picture->page, row = picture->row;
    uint16_t all = cell(picture, page, column);

    if (row < 2) {
        all = (uint16_t)(all << 2 | cell(picture, (uint8_t)(page - 1), column) >> 6);
    } else {
        all = (uint16_t)(all | (uint16_t)cell(picture, (uint8_t)(page + 1), column) << 8);
        row = (uint8_t)(row - 2);
    }
    return (uint8_t)(all >> row);
}

static uint8_t cell_facts(const pageloom_picture *picture)
{
    uint8_t facts = picture->kind; /* SHIFTED is 1, DRAWN is 2 */

    facts |= picture->moved == picture->old ? 4 : 0;
    facts |= picture->old == 0 ? 8 : 0;
    facts |= on_the_left(picture) == 0 ? 0x10 : 0;
    facts |= picture->key ? 0x20 : 0;
    return facts;
}

static uint8_t pixel_facts(const pageloom_picture *picture)
{
    uint8_t facts = (uint8_t)((marked(picture, picture->page) & 0x0C) << 1), drawn = (uint8_t)(picture->bit - 1);

    facts |= (picture->moved & picture->bit) != 0 ? 1 : 0;
    facts |= ((picture->fresh ^ picture->old) & drawn) != 0 ? 2 : 0;
    facts |= picture->kind == DRAWN ? 4 : 0;
    facts |= picture->fresh != 0 ? 0x20 : 0;
    facts |= on_the_left(picture) == 0 ? 0x40 : 0;
    facts |= picture->key ? 0x80 : 0;
    return facts;
}

static uint8_t frame_facts(const pageloom_picture *picture)
{
    uint8_t page = picture->page, facts = picture->asks;

    facts |= busy(picture, page) ? 8 : 0;
    facts |= busy(picture, (uint8_t)(page - 1)) ? 0x10 : 0;
    facts |= busy(picture, (uint8_t)(page + 1)) ? 0x20 : 0;
    facts |= picture->was_still ? 0x40 : 0;
    return facts;
}

/* Eight binary features of the cell at hand. */
static uint8_t about_cell(const pageloom_picture *picture, uint8_t group)
{
    uint8_t page = picture->page, column = picture->column;

    switch (group) {
    case 0: return marked(picture, (uint8_t)(page - 1));
    case 1: return marked(picture, page);
    case 2: return marked(picture, (uint8_t)(page + 1));
    case 3: return picture->old;
    case 4: return on_the_left(picture);
    case 5: return cell(picture, page, (uint8_t)(column + 1));
    case 6: return (uint8_t)(on_the_left(picture) ^ picture->before);
    case 7: return cell_facts(picture);
    case 9: return column;
    case 10: return (uint8_t)(picture->moved ^ picture->old);
    default: return 0;
    }
}

/* Eight binary features of the pixel at hand. */
static uint8_t about_pixel(const pageloom_picture *picture, uint8_t group)
{
    uint8_t column = picture->column;

    switch (group) {
    case 0: return rows(picture, column);
    case 1: return picture->above;
    case 2: return rows(picture, (uint8_t)(column - 1));
    case 3: return rows(picture, (uint8_t)(column - 2));
    case 4: return rows(picture, (uint8_t)(column + 1));
    case 5: return (uint8_t)((uint16_t)((uint8_t)(on_the_left(picture) ^ picture->before) << 2) >> picture->row);
    case 6: return rows(picture, (uint8_t)(column - 3));
    case 7: return pixel_facts(picture);
    case 9: return (uint8_t)((column & 31) | picture->row << 5);
    default: return 0;
    }
}

static uint8_t context(const pageloom_picture *picture, uint8_t tree, uint8_t group)
{
    if (group == 8) {
        return picture->frame;
    }
    if (tree == FRAME) {
        return group == 0 ? frame_facts(picture) : 0;
    }
    return tree == PIXEL ? about_pixel(picture, group) : about_cell(picture, group);
}

/* A number of the place at hand: column, row or page, scene, frame. */
static uint8_t number(const pageloom_picture *picture, uint8_t tree, uint8_t which)
{
    switch (which) {
    case 0: return picture->column;
    case 1: return tree == PIXEL ? (uint8_t)(picture->page * 8 + picture->row) : picture->page;
    case 2: return picture->scene;
    default: return picture->frame;
    }
}

/* A byte of the model; beyond the reel a leaf. */
static uint8_t tree_byte(const pageloom_picture *picture, uint16_t at)
{
    return at < picture->reel_size ? PAGELOOM_READ(picture->reel + at) : 0;
}

static APART uint16_t word_at(const pageloom_picture *picture, uint16_t at)
{
    return (uint16_t)(tree_byte(picture, at) | (uint16_t)tree_byte(picture, (uint16_t)(at + 1)) << 8);
}

/* Walks a tree; the leaf it comes to. */
static uint8_t leaf(const pageloom_picture *picture, uint8_t tree)
{
    uint16_t at = (uint16_t)(picture->model + word_at(picture, (uint16_t)(picture->model + MODEL_ROOTS + (uint8_t)(2 * tree))));
    uint8_t steps = 0, node, feature, right, low;
    uint16_t skip;

    do {
        node = tree_byte(picture, at++);
        if (node < NODE) {
            return node;
        }
        feature = (uint8_t)(node - NODE);
        if (feature < NUMBERS) {
            right = context(picture, tree, feature >> 3) >> (feature & 7) & 1;
        } else {
            right = number(picture, tree, (uint8_t)(feature - NUMBERS)) > tree_byte(picture, at++);
        }
        low = tree_byte(picture, at++);
        if (low < NODE) {
            if (!right) {
                return low;
            }
            continue;
        }
        skip = low & 0x7F;
        if (skip >= 0x40) {
            skip = (uint16_t)((skip & 0x3F) << 8 | tree_byte(picture, at++));
        }
        if (right) {
            at = (uint16_t)(at + skip);
        }
    } while (++steps != 0);
    return 0;
}

/* One choice that a tree predicts. A leaf holds the less likely answer's share as mantissa and exponent. */
static APART uint8_t choose(pageloom_picture *picture, uint8_t tree)
{
    uint8_t likely = leaf(picture, tree), answer;
    uint16_t yes = (uint16_t)((uint16_t)((8 + (likely & 7)) << 7) >> (likely >> 3 & 7));
    uint16_t part = (uint16_t)picture->state & ((1u << PROBABILITY_BITS) - 1);
    uint16_t whole = (uint16_t)(picture->state >> PROBABILITY_BITS);
    uint32_t state;

    if (likely & 0x40) {
        yes = (uint16_t)((1u << PROBABILITY_BITS) - yes);
    }
    answer = part < yes;
    if (!answer) {
        part = (uint16_t)(part - yes);
        yes = (uint16_t)((1u << PROBABILITY_BITS) - yes);
    }
    state = (uint32_t)yes * whole + part;
    if (state < LEAST_STATE) {
        state = state << 8 | tree_byte(picture, picture->stream++);
        if (state < LEAST_STATE) {
            state = state << 8 | tree_byte(picture, picture->stream++);
        }
    }
    picture->state = state;
    return answer;
}

/* Draws the cell at hand pixel by pixel. */
static uint8_t pixels(pageloom_picture *picture)
{
    uint8_t over = cell(picture, (uint8_t)(picture->page - 1), picture->column), bit;

    for (bit = 0; bit < 8; bit++) { /* the nearest row in bit 0 */
        picture->above = (uint8_t)(picture->above << 1 | (over & 1));
        over >>= 1;
    }
    picture->fresh = 0;
    picture->bit = 1;
    for (picture->row = 0; picture->row < 8; picture->row++) {
        uint8_t lit = choose(picture, PIXEL);

        picture->above = (uint8_t)(picture->above << 1 | lit);
        if (lit) {
            picture->fresh |= picture->bit;
        }
        picture->bit = (uint8_t)(picture->bit << 1);
    }
    picture->row = 0;
    return picture->fresh;
}

/* Draws the cell at hand; whether it changed. */
static uint8_t draw_cell(pageloom_picture *picture)
{
    uint8_t page = picture->page, from = (uint8_t)(picture->column + picture->left), fresh, kind = SAME;
    uint8_t *here = picture->cells + (uint16_t)(page * WIDTH + picture->column);

    picture->old = *here;
    fresh = picture->old;
    picture->moved = (uint8_t)((cell(picture, page, from) | (uint16_t)cell(picture, (uint8_t)(page + 1), from) << 8) >> picture->up);
    if (choose(picture, CELL)) {
        if (picture->moved != picture->old && choose(picture, MOVED)) {
            fresh = picture->moved;
            kind = SHIFTED;
        } else {
            fresh = pixels(picture);
            kind = DRAWN;
        }
    }
    *here = fresh;
    mark(picture, fresh != picture->old);
    picture->before = picture->old;
    picture->kind = kind;
    return fresh != picture->old;
}

static void unmark(pageloom_picture *picture)
{
    uint8_t at;

    for (at = 0; at < MARKS_A_PAGE * PAGES; at++) {
        picture->marks[at] = 0;
    }
    picture->was_still = 0;
}

/* A page begins; whether any cell of it changes. */
static uint8_t begin_page(pageloom_picture *picture)
{
    uint8_t at;

    picture->pointer = NOWHERE;
    picture->before = 0;
    picture->kind = SAME;
    if (picture->key) {
        return 1;
    }
    picture->asks = ASKS_PAGE;
    if (choose(picture, FRAME)) {
        return 1;
    }
    for (at = 0; at < MARKS_A_PAGE; at++) {
        picture->marks[(uint8_t)(picture->page * MARKS_A_PAGE + at)] = 0;
    }
    return 0;
}

/* A frame begins: whether anything changes, and whether light and dark are exchanged. */
static void begin_frame(pageloom_picture *picture)
{
    picture->drawing = 1;
    picture->in_page = 0;
    picture->inverts = 0;
    picture->page = 0;
    picture->column = 0;
    if (picture->key) {
        return;
    }
    picture->asks = ASKS_STILL;
    picture->was_still = choose(picture, FRAME);
    if (picture->was_still) {
        picture->page = PAGES;
    } else {
        picture->asks = ASKS_INVERSION;
        picture->inverts = choose(picture, FRAME);
    }
}

static uint8_t end_frame(pageloom_player *player)
{
    pageloom_picture *picture = &player->picture;
    uint8_t status;
    uint16_t at = player->at;

    if (picture->inverts) {
        (void)fill(player, picture->inverted ? NORMAL : INVERSE, 1);
        status = group(player, 1);
        player->at = at;
        if (status != GO_ON) {
            return status;
        }
        picture->inverted = !picture->inverted;
    }
    picture->drawing = 0;
    if (picture->key) {
        picture->key = 0;
        unmark(picture);
    }
    picture->frame++;
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
    uint8_t column = picture->column, status;
    uint16_t at;

    if (picture->pointer > column || column - picture->pointer > LONGEST_GAP) {
        at = player->at; /* which a seek that does not fit takes back */
        status = seek(player, (uint8_t)(0xB0 | picture->page), (uint8_t)(picture->first_column + column));
        player->at = at;
        if (status != GO_ON) {
            return status;
        }
        status = close_transaction(player);
        if (status != GO_ON) {
            return status;
        }
        picture->pointer = column;
    }
    while (picture->pointer <= column) {
        (void)fill(player, cell(picture, picture->page, picture->pointer), 1);
        status = send_data(player);
        player->data_left = 0;
        if (status != GO_ON) {
            return status;
        }
        picture->pointer++;
    }
    picture->unsent = 0;
    return GO_ON;
}

/* A part of a frame: one cell at most. */
static uint8_t draw(pageloom_player *player)
{
    pageloom_picture *picture = &player->picture;
    uint8_t status;

    if (!picture->drawing) {
        picture->scene = player->scene;
        begin_frame(picture);
    }
    if (picture->page >= PAGES) {
        return end_frame(player);
    }
    if (!picture->unsent) {
        if (!picture->in_page) {
            if (!begin_page(picture)) {
                picture->page++;
                return GO_ON;
            }
            picture->in_page = 1;
        }
        picture->unsent = draw_cell(picture) | picture->key;
    }
    if (picture->unsent) {
        status = send_cell(player);
        if (status != GO_ON) {
            return status;
        }
    }
    picture->column++;
    if (picture->column >= WIDTH) {
        picture->column = 0;
        picture->page++;
        picture->in_page = 0;
    }
    return GO_ON;
}

/* Takes up the model that all streams are drawn by. */
static uint8_t open_model(pageloom_player *player)
{
    pageloom_picture *picture = &player->picture;

    picture->reel = player->reel;
    picture->reel_size = player->reel_size;
    picture->model = next_word(player);
    picture->first_column = byte_at(player, (uint16_t)(picture->model + MODEL_COLUMN));
    if (byte_at(player, picture->model) != WIDTH || byte_at(player, (uint16_t)(picture->model + MODEL_PAGES)) != PAGES) {
        return PAGELOOM_FAULT;
    }
    return GO_ON;
}

/* Opens a stream: where a scene opens, or at one of its frames. */
static uint8_t open_stream(pageloom_player *player, uint8_t operation)
{
    pageloom_picture *picture = &player->picture;
    uint8_t first;
    uint16_t at;

    picture->drawing = 0;
    picture->unsent = 0;
    if (operation == OP_MODEL) {
        return open_model(player);
    }
    if (picture->model == 0) {
        return PAGELOOM_FAULT;
    }
    first = next_byte(player);
    picture->frame = first;
    if (operation == OP_KEY) {
        picture->left = first & 15;
        picture->up = first >> 4 & 7;
        picture->key = 1;
        picture->frame = 0;
        picture->inverted = 0;
        for (at = 0; at < (uint16_t)WIDTH * PAGES; at++) {
            picture->cells[at] = 0;
        }
    }
    if (operation != OP_AGAIN) {
        unmark(picture);
    }
    picture->stream = next_word(player);
    picture->state = next_word(player);
    picture->state |= (uint32_t)next_byte(player) << 16;
    return GO_ON;
}
