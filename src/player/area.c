/* area.c - areas: rectangles of cells that show parts of moving sheets of ink, over a copy of the picture if there is one. */

#ifdef PAGELOOM_AREAS
/*
 * The record of an area: offset of its course; first page; number of pages - 1; first column of the display's memory; cells per
 * row; kind; the pixels of the first and of the last page that belong to the area; offset of a table with an offset for each row
 * of the sheet. Offsets have two bytes, all other values one.
 */
enum { PLACE_PAGE = 2, PLACE_COLUMN = 2, PLACE_KIND = 6, PLACE_BYTES = 11 };

/*
 * Bits of the kind. The phase moves the sheet by columns, by rows of pixels, or by whole pictures. If it moves by columns and in a
 * second way, its low byte counts the columns. If none of the three bits is set, the area is noise (grain.c). If DOWN and PICTURES
 * are set, it is a history (history.c). Ink darkens pixels (CLEARS) or inverts them (INKS); with both bits it lights them. The upper
 * three bits are the number of live values that the phase follows (live.c).
 */
enum { ACROSS = 1, DOWN = 2, PICTURES = 4, CLEARS = 8, INKS = 16 };

/*
 * The pieces of a row of a sheet. 00 to 3D: 1 to 62 blank cells. 3E: the rest of the row is blank. 3F d: continue d bytes after the
 * start of the row. 40 to 7F: 1 to 64 cells follow. 80 to BF, v: 1 to 64 cells are all v. C0 to FF, lo hi: 1 to 64 cells are at this
 * offset of the reel.
 */
enum { BLANK_ON = 0x3E, AGAIN = 0x3F, CELLS_FOLLOW = 0x40, ONE_VALUE = 0x80, STAND_ELSEWHERE = 0xC0 };

/*
 * The items of a course, one for each change of the phase. A step: -7 to 7 in the upper four bits; the lower four bits say for how
 * many more frames the phase then stays. 80 n: the next item n times. 81 lo hi n: set the phase, which then stays for n more frames.
 * 82 lo hi: continue at this offset. 83 lo hi n: a step of 16 bits, after which the phase stays for n more frames.
 */
enum { TIMES = 0x80, TO_PHASE = 0x81, GO_TO = 0x82, WIDE_STEP = 0x83 };

/*
 * Cells are composed in chunks of 16. This needs an allowance of at least 12 bytes. Composing takes time, so it uses up bytes of the
 * allowance: one for the chunk, one for each row of a sheet, and one for every 16 pieces of a row. They are subtracted after the
 * cells were sent.
 */
enum { CHUNK = 16, LEAST_FOR_A_CHUNK = 12, PIECES_A_BYTE = 16 };

/* A cell this far after the display's pointer, or farther, is reached by setting the pointer. */
enum { FAR_CELLS = 8 };

/* The number of cells that are composed at a time: a chunk, or fewer cells of a copy of the picture. */
#ifdef PAGELOOM_DRAWS
#define COMPOSED(player) (player)->composed
#else
#define COMPOSED(player) CHUNK
#endif

/* The phase that an area shows: the phase of its course plus what live values add. */
#ifdef PAGELOOM_LIVE
#define SHOWN(area) (area)->shown
#else
#define SHOWN(area) (area)->phase
#endif

/* The part of the current chunk that an area covers. The fields up to `table` are read from the area's record, after its course. */
typedef struct {
    uint8_t page;
    uint8_t last;   /* number of pages from here to the last one */
    uint8_t column; /* of the area */
    uint8_t count;  /* cells */
    uint8_t kind;
    uint8_t own; /* pixels */
    uint8_t last_own;
    uint8_t table[2];
    /* If the sheet is moved by a part of a page, two of its rows share a row of cells: the upper and the lower one. */
    uint8_t step;     /* pixels by which the sheet is moved, 0 to 7 */
    uint8_t is_lower; /* whether the lower one is drawn */
    uint8_t at;       /* first covered cell of the chunk */
} pageloom_span;

/* Returns the part of an area's record that follows its course. begin_areas has checked that it lies in the reel. */
static APART const uint8_t *place_of(const pageloom_player *player, uint8_t area)
{
    return player->reel + player->records + (uint16_t)(area * PLACE_BYTES) + PLACE_PAGE;
}

/* Restarts the courses of all areas with the next frame. */
static APART void restart_areas(pageloom_player *player)
{
    uint16_t record = player->records, back = player->at;
    pageloom_area *area = player->slots;
    uint8_t left;

    for (left = player->count; left > 0; left--) {
        player->at = record;
        area->course = next_word(player);
        area->wait = 0;
        area->again = 0;
        area++;
        record = (uint16_t)(record + PLACE_BYTES);
    }
    player->at = back;
}

/* Moves an area on by a frame. It reads the course by way of `player->at`, which the caller restores. */
static void go_on_with(pageloom_player *player, pageloom_area *area)
{
    uint16_t wide;
    uint8_t item;

    area->former = SHOWN(area);
    if (area->wait > 0) {
        area->wait--;
        return;
    }
    player->at = area->course;
    item = next_byte(player);
    if (area->again == 0) {
        area->again = 1;
        if (item == GO_TO) {
            player->at = next_word(player);
            item = next_byte(player);
        }
        if (item == TIMES) {
            area->again = next_byte(player);
            item = next_byte(player);
        }
        area->course = (uint16_t)(player->at - 1);
    }
    area->wait = item & 15;
    wide = (uint16_t)(int16_t)((int8_t)item >> 4);
    if (item == TO_PHASE || item == WIDE_STEP) {
        if (item == TO_PHASE) {
            area->phase = 0;
        }
        wide = next_word(player);
        area->wait = next_byte(player);
    }
    area->phase = (uint16_t)(area->phase + wide);
    if (--area->again == 0) {
        area->course = player->at;
    }
}

static uint8_t has_moved(const pageloom_area *area)
{
    return SHOWN(area) != area->former;
}

/* Goes to the first cell that the first area has in a page. */
static APART void begin_row(pageloom_player *player, uint8_t page)
{
    const uint8_t *from = place_of(player, 0) + PLACE_COLUMN;

    player->page = page;
    player->column = PAGELOOM_NEXT(from);
    player->end = (uint8_t)(player->column + PAGELOOM_READ(from));
    player->pointer = (uint8_t)(player->column - FAR_CELLS);
#ifdef PAGELOOM_DRAWS
    player->composed = CHUNK;
#endif
}

#ifdef PAGELOOM_HISTORY
static void record_step(pageloom_player *player, pageloom_area *area, uint16_t record, uint8_t step, uint8_t due);
#endif

/* Advances all areas by a frame. Returns whether one of them moves. */
static APART uint8_t advance_areas(pageloom_player *player)
{
    pageloom_area *area = player->slots;
    uint16_t back = player->at;
    uint8_t left, moves = 0;
#ifdef PAGELOOM_LIVE
    uint16_t record = player->records;

    take_live(player);
#endif

    for (left = player->count; left > 0; left--) {
#ifdef PAGELOOM_HISTORY
        uint16_t before = area->phase;
#endif
        go_on_with(player, area);
#ifdef PAGELOOM_HISTORY
        record_step(player, area, record, add_live_parts(player, area, record), area->phase != before);
#elif defined PAGELOOM_LIVE
        (void)add_live_parts(player, area, record);
#endif
#ifdef PAGELOOM_LIVE
        record = (uint16_t)(record + PLACE_BYTES);
#endif
        moves |= has_moved(area);
        area++;
    }
    player->at = back;
    begin_row(player, PAGELOOM_READ(place_of(player, 0)));
    return moves;
}

/* Finds the part of the current chunk that an area covers. Returns whether there is one. */
static APART uint8_t find_span(const pageloom_player *player, uint8_t area, pageloom_span *span)
{
    const uint8_t *from = place_of(player, area);
    uint8_t *to = &span->kind, column, count, room = COMPOSED(player);

    span->page = (uint8_t)(player->page - PAGELOOM_NEXT(from));
    span->last = (uint8_t)(PAGELOOM_NEXT(from) - span->page);
    if (span->page > 15 || span->last > 15) {
        return 0;
    }
    column = (uint8_t)(player->column - PAGELOOM_NEXT(from));
    count = PAGELOOM_NEXT(from);
    span->at = 0;
    if (column > (uint8_t)-COMPOSED(player)) { /* the area begins within the chunk */
        span->at = (uint8_t)-column;
        room = (uint8_t)(room - span->at);
        column = 0;
    }
    if (column >= count) {
        return 0;
    }
    span->column = column;
    count = (uint8_t)(count - column);
    span->count = count > room ? room : count;
    do {
        *to++ = PAGELOOM_NEXT(from);
    } while (to != &span->step);
    return 1;
}

/* Draws ink on a cell in the mode of the span. */
static void lay(const pageloom_span *span, uint8_t ink, uint8_t *to)
{
    uint8_t cell = *to;

    ink &= span->own;
    if (span->kind & CLEARS) {
        cell &= (uint8_t)~ink;
    }
    if (span->kind & INKS) {
        cell ^= ink;
    }
    *to = cell;
}

#include "grain.c"
#include "history.c"

/* Draws a row of a sheet on the cells of a span. It leaves out the first `skip` cells of the row. The caller restores `player->at`. */
static void lay_row(pageloom_player *player, uint16_t table, uint16_t skip, const pageloom_span *span, uint8_t *cells)
{
    uint8_t count = span->count, pieces = 0;
    uint16_t row, at, from;

    player->at = table;
    row = next_word(player);
    at = row;
    for (;;) {
        uint8_t item = byte_at(player, at), left;

        if (pieces++ % PIECES_A_BYTE == 0) {
            player->owed++;
        }
        if (item == AGAIN) {
            at = (uint16_t)(row + byte_at(player, (uint16_t)(at + 1)));
            item = byte_at(player, at);
        }
        if (item == BLANK_ON || item == AGAIN) {
            return;
        }
        left = (uint8_t)((item & 63) + 1);
        from = ++at;
        if (item >= STAND_ELSEWHERE) {
            at = (uint16_t)(at + 2);
        } else if (item >= ONE_VALUE) {
            at++;
        } else if (item >= CELLS_FOLLOW) {
            at = (uint16_t)(at + left);
        }
        if (skip >= left) {
            skip = (uint16_t)(skip - left);
            continue;
        }
        if (item >= STAND_ELSEWHERE) {
            player->at = from;
            from = next_word(player);
        }
        left = (uint8_t)(left - skip);
        if (item & CELLS_FOLLOW) {
            from = (uint16_t)(from + skip);
        }
        skip = 0;
        do {
            if (item >= CELLS_FOLLOW) {
                uint16_t wide = (uint16_t)((uint16_t)(byte_at(player, from) << 8) >> span->step);

                lay(span, (uint8_t)(span->is_lower ? wide : wide >> 8), cells);
                if (item & CELLS_FOLLOW) {
                    from++;
                }
            }
            cells++;
            if (--count == 0) {
                return;
            }
        } while (--left > 0);
    }
}

/* Draws an area at a phase on the current chunk. */
static void paint(pageloom_player *player, uint8_t area, uint16_t phase, uint8_t *cells)
{
    pageloom_span span;
    uint16_t across = 0, table;

    if (!find_span(player, area, &span)) {
        return;
    }
    cells += span.at;
    if (span.page > 0) {
        span.own = 0xFF;
    }
    if (span.last == 0) {
        span.own &= span.last_own;
    }
#ifdef PAGELOOM_GRAINS
    if (IS_NOISE(span.kind)) {
        lay_noise(player, &span, phase, cells);
        return;
    }
#endif
#ifdef PAGELOOM_HISTORY
    if (IS_HISTORY(span.kind)) {
        lay_history(player, &span, (uint16_t)(span.table[0] | (uint16_t)span.table[1] << 8), (uint8_t)phase, cells);
        return;
    }
#endif
    if (span.kind & ACROSS) {
        across = phase;
        phase = 0;
        if (span.kind & (DOWN | PICTURES)) {
            phase = across >> 8;
            across &= 0xFF;
        }
    }
    if (span.kind & PICTURES) {
        phase = (uint16_t)(phase * 8u * (uint8_t)(span.page + span.last + 1));
    }
    across = (uint16_t)(across + span.column);
    table = (uint16_t)((uint16_t)(span.table[0] | (uint16_t)span.table[1] << 8) + ((phase >> 3) + span.page) * 2u);
    span.step = phase & 7;
    span.is_lower = 0;
    for (;;) {
        lay_row(player, table, across, &span, cells);
        if (span.step == 0 || span.is_lower) {
            return;
        }
        span.is_lower = 1;
        table = (uint16_t)(table + 2);
    }
}

#ifdef PAGELOOM_DRAWS
/* Takes the cells of the copy of the picture that lie below the current chunk. Outside it is dark. */
static APART void take_copy(const pageloom_player *player, uint8_t *cells)
{
    uint8_t column = (uint8_t)(player->column - OF_COPY(player, first_column)), left;
    const uint8_t *row = OF_COPY(player, cells);
    uint8_t end = 0;

    if (player->page < PAGELOOM_PAGES && OF_COPY(player, has_model) == PICTURE_DRAWN) {
        row += (uint16_t)(player->page * PAGELOOM_COLUMNS);
        end = PAGELOOM_COLUMNS;
    }
    for (left = player->composed; left > 0; left--) {
        *cells++ = column < end ? row[column] : 0;
        column++;
    }
}
#endif

/* Composes the current chunk from all areas, for the previous frame (`former`) or for this one. The caller restores `player->at`. */
static APART void compose(pageloom_player *player, uint8_t former, uint8_t *cells)
{
    const pageloom_area *area = player->slots;
    uint8_t i;

#ifdef PAGELOOM_DRAWS
    take_copy(player, cells);
#else
    for (i = 0; i < CHUNK; i++) {
        cells[i] = 0;
    }
#endif
    for (i = 0; i < player->count; i++) {
        paint(player, i, former ? area->former : SHOWN(area), cells);
        area++;
    }
}
#endif
