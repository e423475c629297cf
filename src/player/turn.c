/* turn.c - a beam that turns over a still picture, for lean reels. The changes are computed from its direction. */

#ifdef PAGELOOM_TURNS
/* Values of `filling`: send all cells of the rows, or send those that change when the beam turns. */
enum { OPENING = 4, TURNING = 5 };

/*
 * Offsets in a beam's record: its limits, the page of the first row of cells, and the rows. Each row is a count of cells, its first
 * column in the display's memory, and the picture below the beam. A count of 0 ends the rows.
 */
enum { RECORD_LIMITS = 6, RECORD_PAGE = 22, RECORD_ROWS = 23 };

/* A cell near the beam uses up 2 bytes of the allowance. Four cells far from it use up one byte. */
enum { NEAR_CELL_SPENDS = 2, FAR_CELLS_A_BYTE = 4 };

/* Reads the next byte of the record. */
static APART uint8_t row_byte(pageloom_player *player)
{
    return byte_at(player, player->copy_from++);
}

/* The largest memory of a display. Rows must lie inside it. */
enum { MEMORY_PAGES = 16, MEMORY_COLUMNS = 132 };

/* Goes to the next row of cells. If there is none, `data_left` is 0. A row outside the display's memory is a fault. */
static APART uint8_t next_row(pageloom_player *player)
{
    uint8_t count = row_byte(player), column;

    if (count == NONE) { /* the reel is incomplete */
        count = 0;
    }
    player->data_left = count;
    if (count > 0) {
        column = row_byte(player);
        player->end = (uint8_t)(column + count);
        player->page++;
        player->fill = POINTS_ELSEWHERE;
        if (player->page >= MEMORY_PAGES || column > MEMORY_COLUMNS || count > MEMORY_COLUMNS - column) {
            return PAGELOOM_FAULT;
        }
    } else if (player->filling == OPENING) {
        player->at = player->copy_from;
    }
    return GO_ON;
}

/*
 * Opens a beam: `operand` is its direction, and its record follows. Or turns it by `operand`. Its last direction is stored in `waits`,
 * which is not needed until the frame ends.
 */
static uint8_t begin_turn(pageloom_player *player, uint8_t operation, uint8_t operand)
{
    const uint8_t *record;

    player->filling = TURNING;
    player->waits = player->direction;
    player->direction = (uint8_t)(player->direction + operand);
    if (operation == OP_OPEN_BEAM) {
        player->filling = OPENING;
        player->beam = player->at;
        player->waits = operand;
        player->direction = operand;
    }
    player->copy_from = (uint16_t)(player->beam + RECORD_ROWS);
    if (player->copy_from < RECORD_ROWS) { /* the record would reach beyond the largest offset */
        return PAGELOOM_FAULT;
    }
    player->page = (uint8_t)(byte_at(player, (uint16_t)(player->beam + RECORD_PAGE)) - 1);
    operand = next_row(player);
    record = player->reel + player->beam; /* all of it is in the reel if there is a row after it */
    if (player->data_left == 0 || PAGELOOM_READ(record + RECORD_REACH_HIGH) >= TOO_LONG) {
        return PAGELOOM_FAULT;
    }
    return operand;
}

/* Goes back to the cell at the display's pointer, which is `cells` before the current one. */
static void go_back(pageloom_player *player, uint8_t cells)
{
    player->copy_from = (uint16_t)(player->copy_from - cells);
    player->data_left = (uint8_t)(player->data_left + cells);
    player->fill = cells;
}

/* Computes cells and sends those that change, until the allowance is used up. Computing uses up a part of it. */
static APART uint8_t turn(pageloom_player *player)
{
    pageloom_beam beam;
    uint8_t cells = FAR_CELLS_A_BYTE, status;

    beam.record = player->reel + player->beam;
    beam.limits = beam.record + RECORD_LIMITS;
    beam.now = player->direction;
    beam.last = player->waits;
    beam.far = 0;
    beam.near = 0;
    while (player->allowed > 0) {
        uint8_t column = (uint8_t)(player->end - player->data_left), under = byte_at(player, player->copy_from);
        uint16_t lit = beam.far > 0 ? 0 : beamed(&beam, column, (uint8_t)(player->page * 8));
        uint8_t cell = (uint8_t)(under | (uint8_t)lit), gap = player->fill;

        if (beam.far == 0) {
            spend(player, NEAR_CELL_SPENDS);
        } else {
            beam.far--;
            if (--cells == 0) {
                cells = FAR_CELLS_A_BYTE;
                spend(player, 1);
            }
        }
        if (player->filling != OPENING && (gap == 0 || gap >= PASSED) && cell == (uint8_t)(under | lit >> 8)) {
            if (gap != POINTS_ELSEWHERE) {
                player->fill = (uint8_t)((gap | PASSED) + 1);
            }
        } else if (gap >= PASSED && gap != POINTS_ELSEWHERE) {
            go_back(player, (uint8_t)(gap - PASSED));
            beam.far = 0;
            continue;
        } else {
            status = send_changed(player, player->page, column, cell);
            if (status != GO_ON) {
                return status;
            }
        }
        player->copy_from++;
        player->data_left--;
        if (player->data_left == 0) {
            beam.far = 0;
            status = next_row(player);
            if (status != GO_ON || player->data_left == 0) {
                return status;
            }
        }
    }
    return PAGELOOM_BUSY;
}
#endif
