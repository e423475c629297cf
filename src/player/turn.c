/* turn.c - a beam that turns over a still picture, for lean reels: what it changes is reckoned from where it points. */

#ifdef PAGELOOM_TURNS
/* In place of filling: all cells that the beam reaches are sent, or those that change as it turns. */
enum { OPENING = 4, TURNING = 5 };

/*
 * Of a beam's record: the page of its first row of cells, and where the rows begin. Each is a count, the first column of the
 * display's memory and the picture beneath; a count of 0 ends them. The beam itself stands before that.
 */
enum { RECORD_REACH = 4, RECORD_PAGE = 22, RECORD_ROWS = 23 };

/* The upper byte of the square of a beam's length from which on it is a fault: it must be shorter than 120 pixels. */
enum { TOO_LONG = 0x38 };

/* In place of a value to fill with: how many cells lie between the display's pointer and the one at hand, up to so many, ... */
enum { POINTS_ELSEWHERE = 8 };
/* ... or how many come that are sent because the gap is short, and this. */
enum { BRIDGES = 0x80 };

/* So many cells that are far from the beam take as much of the allowance as one that it may touch. */
enum { FAR_CELLS_A_BYTE = 8 };

/* Goes to the row of cells that follows; there is none where no data is left. */
static APART void next_row(pageloom_player *player)
{
    uint16_t row = player->copy_from;
    uint8_t count = byte_at(player, row);

    if (count == NONE) { /* the reel is cut short */
        count = 0;
    }
    player->data_left = count;
    if (count > 0) {
        player->end = (uint8_t)(byte_at(player, (uint16_t)(row + 1)) + count);
        player->copy_from = (uint16_t)(row + 2);
        player->page++;
        player->fill = POINTS_ELSEWHERE;
    } else if (player->filling == OPENING) {
        player->at = (uint16_t)(row + 1);
    }
}

/* A beam opens with the record that follows, pointing in a direction; or it turns by so much. */
static uint8_t begin_turn(pageloom_player *player, uint8_t operation, uint8_t operand)
{
    player->filling = TURNING;
    if (operation == OP_OPEN_BEAM) {
        player->filling = OPENING;
        player->beam = player->at;
        player->direction = 0;
    }
    player->direction = (uint8_t)(player->direction + operand);
    if (player->reel_size < RECORD_ROWS || player->beam > player->reel_size - RECORD_ROWS
        || byte_at(player, (uint16_t)(player->beam + RECORD_REACH + 1)) >= TOO_LONG) {
        return PAGELOOM_FAULT;
    }
    player->page = (uint8_t)(byte_at(player, (uint16_t)(player->beam + RECORD_PAGE)) - 1);
    player->copy_from = (uint16_t)(player->beam + RECORD_ROWS);
    next_row(player);
    return player->data_left > 0 ? GO_ON : PAGELOOM_FAULT;
}

/*
 * Takes the beam from its record. Its turn is the operand of the instruction, the byte before the next one. Where the last bearing
 * was is kept in `waits`, which is 0 when a beam begins to be drawn, and of no use until the frame ends.
 */
static APART void take_beam(const pageloom_player *player, pageloom_beam *beam)
{
    const uint8_t *record = player->reel + player->beam; /* `begin_turn` saw that it is there */
    uint8_t last = player->direction;

    beam->column = PAGELOOM_NEXT(record);
    beam->row = PAGELOOM_NEXT(record);
    beam->mirrored = PAGELOOM_NEXT(record);
    beam->longest = PAGELOOM_NEXT(record);
    beam->reach = PAGELOOM_NEXT(record);
    beam->reach |= (uint16_t)((uint16_t)PAGELOOM_NEXT(record) << 8);
    beam->limits = record;
    beam->place = player->waits;
    if (player->filling == TURNING) {
        last = (uint8_t)(last - byte_at(player, (uint16_t)(player->at - 1)));
    }
    aim(beam, last, player->direction);
}

/* Goes on to the next cell. */
static APART void pass(pageloom_player *player)
{
    player->copy_from++;
    player->data_left--;
    if (player->data_left == 0) {
        next_row(player);
    }
}

/* Sends the cell at hand; the display's pointer is set to it unless it stands there. */
static uint8_t send_turned(pageloom_player *player, uint8_t column, uint8_t cell)
{
    uint8_t status = GO_ON;

    if (player->fill == POINTS_ELSEWHERE) {
        status = seek(player, (uint8_t)(0xB0 | player->page), column);
        if (status != GO_ON) {
            return status;
        }
        player->fill = 0;
    }
    if (player->room == 0) {
        status = begin(player, DATA, 1);
        if (status != GO_ON) {
            return status;
        }
        make_room(player);
    }
    if (player->fill > 0) {
        player->fill--;
    }
    if (player->fill == BRIDGES) {
        player->fill = 0;
    }
    player->room--;
    player->allowed--;
    pass(player);
    return pageloom_bus_write(cell) ? GO_ON : PAGELOOM_FAULT;
}

/* The pixels of the cell at hand that the beam lights, as in `beamed`; `far` counts cells that it is known not to touch. */
static uint16_t lit_here(const pageloom_player *player, pageloom_beam *beam, uint8_t column, uint8_t *far)
{
    uint8_t row = (uint8_t)(player->page * 8);

    if (*far == 0) {
        *far = far_cells(beam, column, row);
        if (*far > player->data_left) {
            *far = player->data_left;
        }
    }
    return *far > 0 ? 0 : beamed(beam, column, row);
}

/* Looks at cells and sends those that change, until the allowance is used up: looking takes some of it as well as sending. */
static APART uint8_t turn(pageloom_player *player)
{
    pageloom_beam beam;
    uint8_t cells = FAR_CELLS_A_BYTE, far = 0, status;

    take_beam(player, &beam);
    while (player->allowed > 0) {
        uint8_t column = (uint8_t)(player->end - player->data_left), under = byte_at(player, player->copy_from);
        uint16_t lit = lit_here(player, &beam, column, &far);
        uint8_t cell = under | (uint8_t)lit, gap = player->fill;

        player->waits = beam.place;
        if (far > 0) {
            far--;
            cells--;
        } else {
            cells = 0;
        }
        if (cells == 0) {
            cells = FAR_CELLS_A_BYTE;
            player->allowed--;
            if (player->room > player->allowed) {
                player->room = player->allowed;
            }
        }
        if (player->filling != OPENING && gap <= BRIDGES && cell == (under | lit >> 8)) {
            if (gap < POINTS_ELSEWHERE) {
                player->fill++;
            }
            pass(player);
        } else if (gap > 0 && gap < POINTS_ELSEWHERE) { /* back to the display's pointer, which is near */
            player->copy_from = (uint16_t)(player->copy_from - gap);
            player->data_left = (uint8_t)(player->data_left + gap);
            player->fill = (uint8_t)(BRIDGES + gap);
            far = 0;
        } else {
            status = send_turned(player, column, cell);
            if (status != GO_ON) {
                return status;
            }
        }
        if (player->data_left == 0) {
            return GO_ON;
        }
    }
    return PAGELOOM_BUSY;
}
#endif
