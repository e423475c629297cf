/* roll.c - scrolling lines, for lean reels. They are stored once, as pieces of ink, and written into a ring of 64 memory rows. */

#ifdef PAGELOOM_ROLLS
/* Values of `filling`: rows of the ring are written; cells that change are sent, or all cells. */
enum { ROLLING = 7, ROLLING_WHOLE = 8 };

/*
 * The record: cells per row; column of the display's memory after the last cell; rows from line to line; row of the first line; the
 * row that is written first; bytes of ink. Rows are numbered without end; row n is written over row n - 64. Then the ink in pieces:
 * each is a count and that many columns of up to eight rows. Then the lines: each is a count of bytes and its parts. A part below 0x80
 * is half the offset of a piece in the ink; a blank column follows the piece. 0x80 to 0xFE are 1 to 127 blank columns. 0xFF is blank
 * to the end of the row. A count of 0 or 0xFF ends the lines.
 */
enum { ROLL_CELLS, ROLL_END, ROLL_PITCH, ROLL_FIRST, ROLL_ROW, ROLL_INK_BYTES, ROLL_INK };
enum { BLANKS = 0x80, LONGEST_PITCH = 15 };

/* Rows of the ring: a row replaces the one that was written 64 rows before it. */
enum { RING_ROWS = 64 };

/* Bits of the operand: all rows up to the end of the page are written, else one row; all cells are sent, else those that change. */
enum { REST_OF_PAGE = 1, ALL_CELLS = 2 };

/* Comparing two cells uses up one byte of the allowance. */
enum { CELLS_A_BYTE = 2 };

/* A place in a line: offset of the next part; place of the current piece in the ink, its columns left, and its blank columns. */
typedef struct {
    uint16_t next;
    uint8_t ink;
    uint8_t left;
    uint8_t blank;
} pageloom_line;

/* Two lines that share eight rows: the upper one from its row `above` on, the lower one from row `below` of the eight on. */
typedef struct {
    pageloom_line upper;
    pageloom_line lower;
    uint8_t above;
    uint8_t below;
} pageloom_rows;

static APART uint8_t roll_byte(const pageloom_player *player, uint8_t at)
{
    return byte_at(player, (uint16_t)(player->beam + at));
}

/* Goes to the start of a line. Lines after the last one are blank. */
static APART void find_line(const pageloom_player *player, pageloom_line *line, uint8_t number)
{
    uint16_t at = (uint16_t)(player->beam + ROLL_INK + roll_byte(player, ROLL_INK_BYTES));
    uint8_t count;

    line->left = 0;
    for (;;) {
        count = byte_at(player, at++);
        line->next = at;
        if (number == 0 || count == 0 || count == NONE) {
            return;
        }
        at = (uint16_t)(at + count);
        number--;
    }
}

/* Moves on by a number of columns. Returns the ink of the line in that column. */
static APART uint8_t go_on_in(const pageloom_player *player, pageloom_line *line, uint8_t columns)
{
    while (columns >= line->left) {
        uint8_t piece = byte_at(player, line->next);

        columns = (uint8_t)(columns - line->left);
        line->blank = line->left = (uint8_t)(piece - (BLANKS - 1));
        if (piece < BLANKS) {
            line->ink = (uint8_t)(ROLL_INK + 2 * piece);
            line->left = (uint8_t)(roll_byte(player, line->ink) + 1);
            line->blank = 1;
        }
        if (piece != NONE) {
            line->next++;
        }
    }
    line->left = (uint8_t)(line->left - columns);
    line->ink = (uint8_t)(line->ink + columns);
    return line->left > line->blank ? roll_byte(player, (uint8_t)(line->ink + 1)) : 0;
}

/* Finds the lines that share the eight rows from `row` on. */
static APART void find_rows(const pageloom_player *player, pageloom_rows *rows, uint16_t row)
{
    uint8_t number = 0, pitch = roll_byte(player, ROLL_PITCH);

    row = (uint16_t)(row - roll_byte(player, ROLL_FIRST));
    if (row >= 0x8000u) { /* rows before the first line are blank, like those after the last one */
        row = 0;
        number = NONE - 1;
    }
    for (; row >= pitch; number++) {
        row = (uint16_t)(row - pitch);
    }
    rows->above = (uint8_t)row;
    rows->below = (uint8_t)(pitch - (uint8_t)row);
    find_line(player, &rows->upper, number);
    find_line(player, &rows->lower, (uint8_t)(number + 1));
}

/* Moves on by a number of columns. Returns the cell there. */
static APART uint8_t go_on_by(const pageloom_player *player, pageloom_rows *rows, uint8_t columns)
{
    uint16_t lower = (uint16_t)(go_on_in(player, &rows->lower, columns) << rows->below);

    return (uint8_t)((uint16_t)(go_on_in(player, &rows->upper, columns) >> rows->above) | lower);
}

/* Opens scrolling lines, whose record follows; or begins to write rows of them. */
static uint8_t begin_roll(pageloom_player *player, uint8_t operation, uint8_t operand)
{
    if (operation == OP_OPEN_ROLL) {
        uint16_t length = (uint16_t)(operand | (uint16_t)next_byte(player) << 8);

        player->beam = player->at;
        player->row = roll_byte(player, ROLL_ROW);
        player->at = (uint16_t)(player->at + length);
        return GO_ON;
    }
    player->fill = POINTS_ELSEWHERE;
    player->filling = operand & ALL_CELLS ? ROLLING_WHOLE : ROLLING;
    player->data_left = roll_byte(player, ROLL_CELLS);
    return player->data_left > 0 && (uint8_t)(roll_byte(player, ROLL_PITCH) - 1) < LONGEST_PITCH ? GO_ON : PAGELOOM_FAULT;
}

/* Computes cells and sends those that change, until the allowance is used up. Computing uses up a part of it. */
static APART uint8_t roll(pageloom_player *player)
{
    pageloom_rows now, before;
    uint16_t row = player->row & 0xFFF8u;
    uint8_t on = (uint8_t)(roll_byte(player, ROLL_CELLS) - player->data_left), looks = CELLS_A_BYTE;
    uint8_t fresh = (uint8_t)(0xFF << (player->row & 7)), known = (uint8_t)~fresh;
    uint8_t operand = byte_at(player, (uint16_t)(player->at - 1));

    if (!(operand & REST_OF_PAGE)) {
        fresh &= (uint8_t)-fresh;
    }
    find_rows(player, &now, row);
    find_rows(player, &before, (uint16_t)(row - RING_ROWS));
    do {
        uint8_t cell = go_on_by(player, &before, on), change = cell ^ go_on_by(player, &now, on), gap = player->fill;

        on = 1;
        if (player->allowed == 0) {
            return PAGELOOM_BUSY;
        }
        if (--looks == 0) {
            looks = CELLS_A_BYTE;
            spend(player, 1);
        }
        if (player->filling == ROLLING && (gap == 0 || gap >= PASSED) && !(change & fresh)) {
            if (gap != POINTS_ELSEWHERE) {
                player->fill = (uint8_t)((gap | PASSED) + 1);
            }
        } else if (gap >= PASSED && gap != POINTS_ELSEWHERE) { /* go back to the cell at the display's pointer */
            player->fill = (uint8_t)(gap - PASSED);
            player->data_left = (uint8_t)(player->data_left + player->fill);
            return GO_ON;
        } else {
            uint8_t column = (uint8_t)(roll_byte(player, ROLL_END) - player->data_left), status;

            cell ^= change & (fresh | known);
            status = send_changed(player, (uint8_t)(row >> 3 & 7), column, cell);

            if (status != GO_ON) {
                return status;
            }
        }
    } while (--player->data_left > 0);
    player->row = operand & REST_OF_PAGE ? row + 8u : player->row + 1u;
    return GO_ON;
}
#endif
