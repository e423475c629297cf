/* dense.c - decodes frames from a stream, draws them on a copy of the picture, and sends the cells that changed. */
#include "choice.c"

#include "canvas.c"

enum { NORMAL = 0xA6, INVERSE = 0xA7 };

/*
 * Drawing takes time, so it uses up bytes of the allowance: one for a page, for eight cells, for a cell that is compared, and for a
 * cell near a beam; five for a cell that is drawn pixel by pixel. A cell needs an allowance of three bytes, and eight cells of a
 * scene with a beam need one of 10.
 */
enum { PART_SPENDS = 1, DRAWN_SPENDS = 5, LEAST_FOR_A_CELL = 3, LEAST_FOR_A_BEAM = 10 };

#ifdef PAGELOOM_BEAM
#define NEAR_BEAM(picture) (picture)->beam.near
#else
#define NEAR_BEAM(picture) 0
#endif

/* The stages of drawing a frame. UNSENT: the current cell is drawn but not sent. */
enum { BETWEEN, IN_FRAME, IN_PAGE, UNSENT };

/* Goes to the start of a page. Whether it changes is decided later. */
static APART void open_page(pageloom_picture *picture, uint8_t page)
{
    picture->stage = IN_FRAME;
    picture->page = page;
    picture->numbers[COLUMN] = 0;
    picture->numbers[PAGE_OR_ROW] = page;
    picture->here = picture->cells + (uint16_t)(page * WIDTH);
    picture->mark = picture->marks + (uint8_t)((page + 1) * PAGELOOM_MARKS + 1);
    picture->bit = 1;
    picture->pointer = NOWHERE;
    picture->facts = picture->key;
    picture->cell[LEFT] = 0;
    picture->cell[LEFT_CHANGE] = 0;
}

/* Returns whether any cell of the page that begins changes. */
static uint8_t page_changes(pageloom_picture *picture)
{
    if (picture->key || ask(picture, ASKS_PAGE)) {
        return 1;
    }
    blank(picture->mark, PAGELOOM_MARKS);
    return 0;
}

/* Begins a frame: decides whether anything changes, and whether the display is inverted or set back to normal. */
static void begin_frame(pageloom_picture *picture)
{
    uint8_t at;

    open_page(picture, 0);
    picture->has_model = PICTURE_DRAWN;
    picture->inverts = 0;
    for (at = FRAMES; at < sizeof picture->numbers; at++) {
        picture->numbers[at] = picture->numbers[FRAMES];
    }
    picture->cell[FRAME_NUMBER] = picture->numbers[FRAMES];
    picture->pixel[FRAME_NUMBER] = picture->numbers[FRAMES];
#ifdef PAGELOOM_BEAM
    if (picture->has_beam) {
        picture->beam.now = (uint8_t)(picture->direction >> 8);
        picture->beam.last = (uint8_t)((uint16_t)(picture->direction - picture->turn) >> 8);
    }
#endif
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
    pageloom_picture *picture = &player->copy.picture;

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
#ifdef PAGELOOM_BEAM
    picture->direction = (uint16_t)(picture->direction + picture->turn);
#endif
    player->draws--;
    if (player->draws > 0) {
        return frame_ends(player, WAITING, 0);
    }
    return GO_ON;
}

/* Begins a frame or one of its pages, or ends the frame. If the stage is IN_PAGE afterwards, the first cell of a page comes next. */
static APART uint8_t find_page(pageloom_player *player)
{
    pageloom_picture *picture = &player->copy.picture;

    if (picture->stage == BETWEEN) {
        picture->numbers[SCENE] = player->scene;
        begin_frame(picture);
    }
    if (picture->page >= PAGES) {
        return end_frame(player);
    }
    spend(player, PART_SPENDS);
    if (page_changes(picture)) {
        picture->stage = IN_PAGE;
    } else {
        open_page(picture, (uint8_t)(picture->page + 1));
    }
    return GO_ON;
}

/* Moves on by a number of cells and bytes of marks. At the end of a page, goes to the next page. */
static APART void go_on(pageloom_picture *picture, uint8_t cells, uint8_t marks)
{
    picture->here += cells;
    picture->mark += marks;
    picture->numbers[COLUMN] = (uint8_t)(picture->numbers[COLUMN] + cells);
    if (picture->numbers[COLUMN] >= WIDTH) {
        open_page(picture, (uint8_t)(picture->page + 1));
    }
}

/* Draws a part of a frame: at most one cell, or eight cells that do not change. */
static APART uint8_t draw(pageloom_player *player)
{
    pageloom_picture *picture = &player->copy.picture;
    uint8_t status;

    if (picture->stage < IN_PAGE) {
        status = find_page(player);
        if (picture->stage < IN_PAGE) {
            return status;
        }
    }
    if (picture->stage == IN_PAGE) {
        if (player->allowed < LEAST_FOR_A_CELL) {
            return PAGELOOM_BUSY;
        }
        if (picture->bit == 1) {
#ifdef PAGELOOM_BEAM
            if (picture->has_beam && player->allowed < LEAST_FOR_A_BEAM) {
                return PAGELOOM_BUSY;
            }
#endif
            status = begin_eight(picture);
            spend(player, (uint8_t)(PART_SPENDS + NEAR_BEAM(picture)));
            if (!status) {
                go_on(picture, 8, 1);
                return GO_ON;
            }
        }
        if (draw_cell(picture) || picture->key) {
            picture->stage = UNSENT;
        }
        spend(player, picture->facts & IS_DRAWN ? DRAWN_SPENDS : PART_SPENDS);
    }
    if (picture->stage == UNSENT) {
        status = send_drawn(player, picture->numbers[COLUMN]);
        if (status != GO_ON) {
            return status;
        }
        picture->stage = IN_PAGE;
    }
    picture->bit = (uint8_t)(picture->bit << 1);
    if (picture->bit == 0) {
        picture->bit = 1;
        go_on(picture, 1, 1);
    } else {
        go_on(picture, 1, 0);
    }
    return GO_ON;
}

/* Bytes of a model before its trees: width, pages, first column, the leaves of pairs, and the offset of each tree. */
enum { MODEL_HEADER = 3 + PAGELOOM_PAIR_LEAVES + 2 * PAGELOOM_TREES };

/* Reads the model of all streams. Without a model nothing is drawn. */
static uint8_t open_model(pageloom_player *player)
{
    pageloom_picture *picture = &player->copy.picture;
    uint16_t model = next_word(player), behind = player->at;
    uint8_t tree;

#ifdef PAGELOOM_FILM
    blank((uint8_t *)picture, sizeof *picture); /* a film may have used this memory */
#endif
    picture->reel = player->reel;
    picture->end = player->reel + player->reel_size;
    picture->last_node = picture->end - LONGEST_NODE;
    player->at = model;
    picture->has_model = next_byte(player) == WIDTH && next_byte(player) == PAGES ? MODEL_READ : 0;
    picture->key = 0;
    picture->first_column = next_byte(player);
    picture->leaves = player->reel + player->at;
    player->at = (uint16_t)(player->at + PAGELOOM_PAIR_LEAVES);
    for (tree = 0; tree < PAGELOOM_TREES; tree++) {
        uint16_t root = (uint16_t)(model + next_word(player));

        picture->roots[tree] = player->reel + (root < player->reel_size ? root : player->reel_size);
    }
    if (player->at < MODEL_HEADER || player->at > player->reel_size) {
        picture->has_model = 0;
    }
    player->at = behind;
    return picture->has_model ? GO_ON : PAGELOOM_FAULT;
}

#ifdef PAGELOOM_BEAM
/* Reads a beam. All of it must lie in the reel, no limit may exceed the stored longest one, and it must not reach its own trail. */
static uint8_t open_beam(pageloom_player *player, pageloom_picture *picture)
{
    uint16_t record = player->at, behind = (uint16_t)(record + BEAM_RECORD + 4 + LIMITS), at = behind;
    uint8_t longest = byte_at(player, (uint16_t)(record + RECORD_LONGEST)), count;

    if (behind > player->reel_size || behind < record
        || byte_at(player, (uint16_t)(record + RECORD_REACH_HIGH)) >= TOO_LONG || longest < LINE_BEARINGS) {
        return PAGELOOM_FAULT;
    }
    for (count = LIMITS; count > 0; count--) {
        if (byte_at(player, --at) > longest) {
            return PAGELOOM_FAULT;
        }
    }
    picture->has_beam = 1;
    picture->predicts = 1;
    picture->beam.record = player->reel + record;
    player->at = (uint16_t)(player->at + BEAM_RECORD);
    picture->direction = next_word(player);
    picture->turn = next_word(player);
    if ((uint16_t)(longest + (picture->turn >> 8)) >= 255 - LINE_BEARINGS) {
        return PAGELOOM_FAULT;
    }
    picture->beam.limits = player->reel + player->at;
    player->at = behind;
    return GO_ON;
}
#endif

/* Opens a scene with a dark picture and a movement. */
static void open_scene(pageloom_picture *picture, uint8_t movement)
{
    picture->left = movement & 15;
    picture->up = movement >> 4 & 7;
    picture->predicts = movement & 0x7F;
    picture->key = OPENS;
    picture->inverted = 0;
    blank(picture->cells, sizeof picture->cells);
#ifdef PAGELOOM_BEAM
    picture->has_beam = 0;
#endif
}

/* Opens a stream at the start of a scene or at one of its frames. Reads a model, a beam or its direction too. */
static uint8_t open_stream(pageloom_player *player, uint8_t operation)
{
    pageloom_picture *picture = &player->copy.picture;
    uint8_t first;

    picture->stage = BETWEEN;
    if (operation == OP_MODEL) {
        return open_model(player);
    }
    if (!picture->has_model) {
        return PAGELOOM_FAULT;
    }
#ifdef PAGELOOM_BEAM
    if (operation == OP_BEAM) {
        return open_beam(player, picture);
    }
    if (operation == OP_POINT) {
        picture->direction = next_word(player);
        return GO_ON;
    }
#endif
    first = next_byte(player);
    picture->stream = next_word(player);
    picture->low = next_word(player);
    picture->high = next_byte(player);
    if (operation == OP_KEY) {
        open_scene(picture, first);
        first = 0;
    }
    picture->numbers[FRAMES] = first;
    if (operation != OP_AGAIN) {
        unmark(picture);
    }
    return GO_ON;
}
