/* history.c - areas that show the latest values of a live value, a value for each column, as a line, as dots or as columns. */

#ifdef PAGELOOM_HISTORY
/*
 * In place of a table of rows such an area has: where its history begins in player->history, how many values it shows, and its style;
 * then for no value and for each step the row of pixels, counted from the first page of the area.
 *
 * A history is the place of its latest value, and its values with one more, so that the former picture is still known.
 */
enum { HISTORY_KIND = DOWN | PICTURES, HISTORY_TABLE = 9 };
enum { DOTS, LINE, TO_LAST_ROW, TO_FIRST_ROW, FROM_RIGHT = 0x80, NO_ROW = 0xFF, END_ROW = 127 };

/* Cells of a history that use up one byte of the allowance. */
enum { HISTORY_CELLS_A_BYTE = 8 };

#define IS_HISTORY(kind) (((kind) & (ACROSS | DOWN | PICTURES)) == HISTORY_KIND)

/* Finds the history of an area; 0 where it does not fit. `at` is then the player's place behind the number of values. */
static APART uint8_t *find_history(pageloom_player *player, uint16_t data, uint8_t *columns)
{
    uint16_t start;

    player->at = data;
    start = next_word(player);
    *columns = next_byte(player);
    if (start > PAGELOOM_HISTORY || (uint16_t)(PAGELOOM_HISTORY - start) < (uint16_t)(*columns + 2u)) {
        return 0;
    }
    return player->history + start;
}

/* Records a step in the history of an area whose record is at an offset, if it is due. The phase is which value is the latest. */
static void record_step(pageloom_player *player, pageloom_area *area, uint16_t record, uint8_t step, uint8_t due)
{
    uint8_t columns, *own;

    if (!IS_HISTORY(byte_at(player, (uint16_t)(record + LIVE_KIND)))) {
        return;
    }
    player->at = (uint16_t)(record + HISTORY_TABLE);
    own = find_history(player, next_word(player), &columns);
    area->shown = 0;
    if (own == 0) {
        return;
    }
    if (due) {
        own[0] = own[0] < columns ? (uint8_t)(own[0] + 1) : 0;
        own[1 + own[0]] = (uint8_t)(step + 1);
    }
    area->shown = own[0];
}

/* The pixels of a page between two rows; `top` is its first row. */
static uint8_t pixels_between(uint8_t first, uint8_t last, uint8_t top)
{
    uint8_t ink = 0xFF;

    if (first > last) {
        uint8_t other = first;

        first = last;
        last = other;
    }
    if (last < top || first > top + 7) {
        return 0;
    }
    if (first > top) {
        ink = (uint8_t)(ink << (first - top));
    }
    if (last < top + 7) {
        ink = (uint8_t)(ink & (0xFF >> (top + 7 - last)));
    }
    return ink;
}

/* Lays the cells of a history at a phase. */
static void lay_history(pageloom_player *player, const pageloom_span *span, uint16_t data, uint8_t phase, uint8_t *cells)
{
    uint8_t columns, style, count = span->count, column, before = NO_ROW;
    const uint8_t *own = find_history(player, data, &columns);
    uint16_t rows, place, length;

    if (own == 0) {
        return;
    }
    style = next_byte(player);
    rows = player->at;
    own++;
    length = (uint16_t)(columns + 1u);
    column = style & FROM_RIGHT ? (uint8_t)(columns - 1 - span->column) : span->column;
    player->owed = (uint8_t)(player->owed + count / HISTORY_CELLS_A_BYTE);
    for (; count > 0; count--) {
        uint8_t here, from;

        place = (uint16_t)(phase + 2u + column);
        while (place >= length) {
            place = (uint16_t)(place - length);
        }
        here = byte_at(player, (uint16_t)(rows + own[place]));
        if (here != NO_ROW) {
            from = here;
            switch (style & ~FROM_RIGHT) {
            case LINE:
                if (column != 0) {
                    before = byte_at(player, (uint16_t)(rows + own[place > 0 ? place - 1 : columns]));
                    if (before != NO_ROW) {
                        from = before < here ? (uint8_t)(before + 1) : before > here ? (uint8_t)(before - 1) : here;
                    }
                }
                break;
            case TO_LAST_ROW:
                from = END_ROW;
                break;
            case TO_FIRST_ROW:
                from = 0;
                break;
            default:
                break;
            }
            lay(span, pixels_between(from, here, (uint8_t)(8 * span->page)), cells);
        }
        cells++;
        column = style & FROM_RIGHT ? (uint8_t)(column - 1) : (uint8_t)(column + 1);
    }
}
#endif
