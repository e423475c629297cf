/*
 * canvas.c - the copy of the picture, and the decisions that draw a frame on it: which pages, cells and pixels change,
 * and the features of the current place.
 */

/* The decision trees of a model, by number. */
enum { FRAME, CELL, PREDICTED, PIXEL, EIGHT };

/* The question about a frame or page, in group 0: nothing changes? inverted? page changes? And whether the last frame was still. */
enum { ASKS_STILL = 1, ASKS_INVERSION = 2, ASKS_PAGE = 4, WAS_STILL = 0x40 };

/* The groups of features for a decision about a cell. */
enum { MARKS_ABOVE, MARKS_HERE, MARKS_BELOW, OLD, LEFT, RIGHT, LEFT_CHANGE, CELL_FACTS, FRAME_NUMBER, COLUMN_NUMBER, MOVEMENT };
/* The groups for a pixel. Groups of rows have eight pixels of a column, from two rows above the pixel to five rows below it. */
enum { ROWS, ABOVE, ROWS_LEFT_1, ROWS_LEFT_2, ROWS_RIGHT, CHANGE_ROWS, ROWS_LEFT_3, PIXEL_FACTS, PLACE = 9 };
/* The groups for eight cells beside MARKS_HERE: which are predicted to change; which of these marks and predictions are not empty. */
enum { AHEAD = 5, EIGHT_FACTS = 7 };

/* Facts of a cell; the first two are about the cell on its left. Then facts of a pixel, about its column so far. */
enum { IS_AS_PREDICTED = 1, IS_DRAWN = 2, STAYS = 4, WAS_DARK = 8, LEFT_IS_DARK = 0x10, OPENS = 0x20 };
enum { WOULD_BE_LIT = 1, DIFFERS = 2, HAS_LIT = 0x20 };

/* Numbers that are compared with a threshold. For a pixel, the second is its row in the picture. From FRAMES on, all are the frame. */
enum { COLUMN, PAGE_OR_ROW, SCENE, FRAMES };

enum { HERE_IN_MARKS = 4 };
enum { WIDTH = PAGELOOM_COLUMNS, PAGES = PAGELOOM_PAGES };

/* Sets a group to the rows of the column that is `away` columns to the right, from two rows above this page on. Outside it is dark. */
static APART void set_rows(pageloom_picture *picture, uint8_t group, int8_t away)
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

/* Sets the groups for the first pixel of the current cell. */
static void begin_pixels(pageloom_picture *picture)
{
    uint8_t facts = picture->cell[CELL_FACTS], over = 0, above = 0, bit;

    picture->pixel[PIXEL_FACTS] =
        (uint8_t)((facts & (LEFT_IS_DARK | OPENS)) << 2 | ((facts & IS_DRAWN) | (picture->cell[MARKS_HERE] & 0x0C)) << 1);
    picture->pixel[CHANGE_ROWS] = (uint8_t)(picture->cell[LEFT_CHANGE] << 2);
    picture->below[CHANGE_ROWS] = picture->cell[LEFT_CHANGE] >> 6;
    picture->pixel[PLACE] = picture->numbers[COLUMN] & 31;
    set_rows(picture, ROWS, 0);
    set_rows(picture, ROWS_LEFT_1, -1);
    set_rows(picture, ROWS_LEFT_2, -2);
    set_rows(picture, ROWS_LEFT_3, -3);
    set_rows(picture, ROWS_RIGHT, 1);
    if (picture->page > 0) {
        over = picture->here[-WIDTH];
    }
    for (bit = 8; bit > 0; bit--) { /* bit 0 is the nearest row */
        above = (uint8_t)(above << 1 | (over & 1));
        over >>= 1;
    }
    picture->pixel[ABOVE] = above;
}

/* Moves groups on by one feature each. The new features come from the bytes that follow or lie below. */
static void move_on(uint8_t *group, uint8_t *behind, uint8_t count)
{
    for (; count > 0; count--) {
        uint16_t features = (uint16_t)((uint16_t)*behind << 8 | *group) >> 1;

        *group++ = (uint8_t)features;
        *behind++ = (uint8_t)(features >> 8);
    }
}

/* Moves on to the next row. `lit` is the pixel drawn last. */
static void next_pixel(pageloom_picture *picture, uint8_t lit)
{
    uint8_t above = (uint8_t)(picture->pixel[ABOVE] << 1 | lit);

    move_on(picture->pixel, picture->below, PIXEL_FACTS);
    picture->pixel[ABOVE] = above;
    picture->pixel[PLACE] = (uint8_t)(picture->pixel[PLACE] + 32);
    picture->numbers[PAGE_OR_ROW]++;
}

/* Draws the current cell pixel by pixel. */
static APART uint8_t pixels(pageloom_picture *picture, uint8_t old, uint8_t moved)
{
    uint8_t fresh = 0, count, lit, facts;

    begin_pixels(picture);
    picture->numbers[PAGE_OR_ROW] = (uint8_t)(picture->page * 8);
    for (count = 8; count > 0; count--) {
        facts = picture->pixel[PIXEL_FACTS] & (uint8_t)~WOULD_BE_LIT;
        picture->pixel[PIXEL_FACTS] = (uint8_t)(facts | (moved & 1));
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

/* Clears all groups and sets the frame's number, for decisions about frames, pages and eight cells. */
static APART uint8_t *clear_features(pageloom_picture *picture)
{
    uint8_t *now = picture->pixel, group;

    for (group = 0; group < PAGELOOM_GROUPS; group++) {
        now[group] = 0;
    }
    now[FRAME_NUMBER] = picture->numbers[FRAMES];
    return now;
}

/* Reads the marks around the current eight cells. Returns whether the pages above, here and below have marks there, in bits 0 to 2. */
static uint8_t take_marks(pageloom_picture *picture)
{
    const uint8_t *mark = picture->mark + PAGELOOM_MARKS;
    uint8_t at = 3, facts = 0;

    do {
        at--;
        picture->cell[at] = (uint8_t)(mark[-1] >> 6 | (uint8_t)(mark[0] << 2));
        picture->marked[at] = (uint8_t)(mark[0] >> 6 | (uint8_t)(mark[1] << 2));
        facts = (uint8_t)(facts << 1);
        if (mark[0] != 0) {
            facts |= 1;
        }
        mark -= PAGELOOM_MARKS;
    } while (at > 0);
    return facts;
}

#ifdef PAGELOOM_BEAM
/* Predicts the cell that is `on` cells further, from the beam. */
static uint8_t turned(pageloom_picture *picture, uint8_t on)
{
    uint8_t column = (uint8_t)(picture->numbers[COLUMN] + on), cell = picture->here[on];
    uint16_t lit = picture->beam.far > 0 ? 0 : beamed(&picture->beam, column, (uint8_t)(picture->page * 8));

    if (picture->beam.far > 0) {
        picture->beam.far--;
    }
    return (uint8_t)((cell & ~(lit >> 8)) | lit);
}
#endif

/* Predicts the cell that is `on` cells further, from the movement of the scene. */
static uint8_t predict(const pageloom_picture *picture, uint8_t on)
{
    uint8_t column = (uint8_t)(picture->numbers[COLUMN] + on);
    const uint8_t *from = picture->here + on;
    uint16_t both;

    if ((uint8_t)(column + picture->left) >= WIDTH) {
        return 0;
    }
    from += picture->left;
    both = *from;
    if (picture->page < PAGES - 1) {
        both |= (uint16_t)((uint16_t)from[WIDTH] << 8);
    }
    return (uint8_t)(both >> picture->up);
}

/* Begins eight cells, or those that are left in the page. Returns whether any of them changes. */
static APART uint8_t begin_eight(pageloom_picture *picture)
{
    uint8_t *now = clear_features(picture), at, bit = 1, ahead = 0, facts = take_marks(picture);

#ifdef PAGELOOM_BEAM
    picture->beam.far = 0;
    picture->beam.near = 0;
#endif
    if (picture->predicts) {
        for (at = 0; at < 8 && picture->numbers[COLUMN] + at < WIDTH; at++) {
#ifdef PAGELOOM_BEAM
            uint8_t predicted = picture->has_beam ? turned(picture, at) : predict(picture, at);
#else
            uint8_t predicted = predict(picture, at);
#endif

            picture->eight[at] = predicted;
            if (predicted != picture->here[at]) {
                ahead |= bit;
                facts |= 8;
            }
            bit = (uint8_t)(bit << 1);
        }
    }
    now[MARKS_HERE] = *picture->mark;
    now[AHEAD] = ahead;
    now[EIGHT_FACTS] = facts;
    if (picture->key || choose(picture, EIGHT, now)) {
        return 1;
    }
    *picture->mark = 0;
    picture->facts = 0;
    picture->cell[LEFT_CHANGE] = 0;
    if (picture->numbers[COLUMN] <= WIDTH - 8) {
        picture->cell[LEFT] = picture->here[7];
    }
    return 0;
}

/* Draws the current cell. Returns whether it changed. */
static APART uint8_t draw_cell(pageloom_picture *picture)
{
    uint8_t *now = picture->cell;
    uint8_t old = *picture->here, predicted = old, fresh = old, facts = picture->facts, changed;

    if (picture->predicts) {
        predicted = picture->eight[picture->numbers[COLUMN] & 7];
    }
    if (picture->bit != 1) {
        move_on(now, picture->marked, 3);
    }
    now[OLD] = old;
    now[RIGHT] = 0;
    if (picture->numbers[COLUMN] < WIDTH - 1) {
        now[RIGHT] = picture->here[1];
    }
    now[COLUMN_NUMBER] = picture->numbers[COLUMN];
    now[MOVEMENT] = old ^ predicted;
    if (old == predicted) {
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
        if (predicted != old && choose(picture, PREDICTED, now)) {
            fresh = predicted;
            facts = IS_AS_PREDICTED;
        } else {
            fresh = pixels(picture, old, predicted);
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

/* Returns whether a page has marks. */
static APART uint8_t busy(const uint8_t *mark)
{
    uint8_t at, any = 0;

    for (at = PAGELOOM_MARKS; at > 0; at--) {
        any |= *mark++;
    }
    return any;
}

/* Decodes a decision about the frame or the page that begins. */
static APART uint8_t ask(pageloom_picture *picture, uint8_t about)
{
    uint8_t *now = clear_features(picture);

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
    return choose(picture, FRAME, now);
}

static APART void unmark(pageloom_picture *picture)
{
    blank(picture->marks, sizeof picture->marks);
    picture->was_still = 0;
}
