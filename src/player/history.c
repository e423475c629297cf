/* history.c - areas that show the latest values of a live value, a value for each column, as a line, as dots or as columns. */

#ifdef PAGELOOM_HISTORY
/*
 * Such an area has no table of rows. Instead it has: offset of its history in player->history (2 bytes); number of values that it
 * shows; style; then a row of pixels for no value and for each step, counted from the first page of the area.
 *
 * A history is the index of its latest value, then the values. It has one value more than it shows, so that the previous picture is
 * still known.
 */
enum { HISTORY_KIND = DOWN | PICTURES, HISTORY_TABLE = 9, NO_ROW = 0xFF, END_ROW = 127 };

/* Bits of the style: join each value to the one before; draw columns to the last row of memory, or to the first; newest value first. */
enum { JOINED = 1, TO_LAST_ROW = 2, TO_FIRST_ROW = 4, FROM_RIGHT = 8 };

/* This many cells of a history use up one byte of the allowance. */
enum { HISTORY_CELLS_A_BYTE = 8 };

#define IS_HISTORY(kind) (((kind) & (ACROSS | DOWN | PICTURES)) == HISTORY_KIND)

/* A history and the data of its area. */
typedef struct {
    uint8_t *latest; /* the index of the latest value; the values follow */
    uint16_t rows;   /* offset of the rows of pixels */
    uint8_t columns; /* number of values that it shows */
    uint8_t style;
} pageloom_history;

/* Finds the history of an area. Returns whether it fits in memory. The caller restores `player->at`. */
static APART uint8_t find_history(pageloom_player *player, uint16_t data, pageloom_history *history)
{
    uint16_t start;

    player->at = data;
    start = next_word(player);
    history->columns = next_byte(player);
    history->style = next_byte(player);
    history->rows = player->at;
    if (start > PAGELOOM_HISTORY || (uint16_t)(PAGELOOM_HISTORY - start) < (uint16_t)(history->columns + 2u)) {
        return 0;
    }
    history->latest = player->history + start;
    return 1;
}

/* Stores a step in the history of the area whose record is at this offset, if it is due. The phase is the index of the latest value. */
static void record_step(pageloom_player *player, pageloom_area *area, uint16_t record, uint8_t step, uint8_t due)
{
    pageloom_history history;
    uint8_t latest;

    if (!IS_HISTORY(byte_at(player, (uint16_t)(record + LIVE_KIND)))) {
        return;
    }
    player->at = (uint16_t)(record + HISTORY_TABLE);
    area->shown = 0;
    if (!find_history(player, next_word(player), &history)) {
        return;
    }
    latest = *history.latest;
    if (due) {
        latest = latest < history.columns ? (uint8_t)(latest + 1) : 0;
        *history.latest = latest;
        history.latest[1 + latest] = (uint8_t)(step + 1);
    }
    area->shown = latest;
}

/* Returns the row of pixels of a value. Its index may be up to twice the length of the history. */
static APART uint8_t row_of(const pageloom_player *player, const pageloom_history *history, uint16_t place)
{
    while (place > history->columns) {
        place = (uint16_t)(place - history->columns - 1);
    }
    return byte_at(player, (uint16_t)(history->rows + history->latest[1 + place]));
}

/* Returns the pixels of a page from its first row down to `row`. */
static APART uint8_t pixels_to(uint8_t row)
{
    if (row & 0x80) {
        return 0; /* above the page */
    }
    return row < 7 ? (uint8_t)((2u << row) - 1) : 0xFF;
}

/* Draws a history at a phase on the cells of a span. */
static void lay_history(pageloom_player *player, const pageloom_span *span, uint16_t data, uint8_t phase, uint8_t *cells)
{
    pageloom_history history;
    uint8_t count = span->count, column = span->column, top = (uint8_t)(8 * span->page);

    player->owed = (uint8_t)(player->owed + count / HISTORY_CELLS_A_BYTE);
    if (!find_history(player, data, &history)) {
        return;
    }
    if (history.style & FROM_RIGHT) {
        column = (uint8_t)(history.columns - 1 - column);
    }
    for (; count > 0; count--) {
        uint16_t place = (uint16_t)(phase + 2u + column);
        uint8_t here = row_of(player, &history, place), last = here, above = (uint8_t)(here - 1), before;

        if (here != NO_ROW) {
            if (history.style & JOINED && column != 0) {
                before = row_of(player, &history, (uint16_t)(place + history.columns));
                if (before < here) {
                    above = before;
                } else if (before != here && before != NO_ROW) {
                    last = (uint8_t)(before - 1);
                }
            }
            if (history.style & TO_LAST_ROW) {
                last = END_ROW;
            }
            if (history.style & TO_FIRST_ROW) {
                above = (uint8_t)-1;
            }
            lay(span, (uint8_t)(pixels_to((uint8_t)(last - top)) ^ pixels_to((uint8_t)(above - top))), cells);
        }
        cells++;
        column = history.style & FROM_RIGHT ? (uint8_t)(column - 1) : (uint8_t)(column + 1);
    }
}
#endif
