/* grain.c - grains that flicker, for lean reels: noise is computed from a seed, not stored. */

#ifdef PAGELOOM_GRAINS
/* In place of filling: the cells of an area are sent as noise. */
enum { FLICKERING = 6 };

/*
 * An area: page of its first row of cells, rows, first column of the display's memory, cells a row, the first pixel's place across
 * and down, and how places turn from pixel to pixel: across from row to row and down from column to column; falling across, or down.
 */
enum { AREA_PAGE, AREA_ROWS, AREA_COLUMN, AREA_CELLS, AREA_ACROSS, AREA_DOWN, AREA_TURN, AREA_BYTES };
enum { SWAPS = 1, FALLS_ACROSS = 2, FALLS_DOWN = 4 };

/* Behind it the picture beneath: runs of cells in the order in which they are sent, each a count, page, column and cells; 0 ends them. */
enum { RUN_PAGE = 1, RUN_COLUMN, RUN_CELLS };

/* `fill` says whether the display's pointer is yet to be set, `copy_from` which run of the picture beneath is the next. */
#define FIRST_FACTOR 0x9E3Bu
#define SECOND_FACTOR 0x6D2Bu

/* The hash of a place, even over places and seeds: a grain whose hash is less than the density in 1/256 is ink. */
static uint8_t hash(uint16_t seed, uint8_t across, uint8_t down)
{
    uint16_t place = (uint16_t)(((uint16_t)down << 8 | across) ^ seed);

    place = (uint16_t)(place * FIRST_FACTOR);
    place ^= place >> 8;
    place = (uint16_t)((uint16_t)(place + seed) * SECOND_FACTOR);
    return (uint8_t)(place ^ place >> 8);
}

static APART uint8_t area_byte(const pageloom_player *player, uint8_t at)
{
    return byte_at(player, (uint16_t)(player->beam + at));
}

/* A place so far on from the area's first, or before it. */
static APART uint8_t placed(uint8_t from, uint8_t by, uint8_t falls)
{
    return (uint8_t)(falls ? from - by : from + by);
}

/* The cells of a run of the picture beneath; 0 where there is none. */
static APART uint8_t run_length(const pageloom_player *player, uint16_t run)
{
    uint8_t count = byte_at(player, run);

    return count == NONE ? 0 : count;
}

/* The picture beneath in a column of the page at hand. */
static uint8_t beneath(pageloom_player *player, uint8_t column)
{
    uint16_t run = player->copy_from;
    uint8_t count = run_length(player, run), on = (uint8_t)(column - byte_at(player, (uint16_t)(run + RUN_COLUMN)));

    if (on >= count || byte_at(player, (uint16_t)(run + RUN_PAGE)) != player->page) {
        return 0;
    }
    run = (uint16_t)(run + RUN_CELLS);
    if (on + 1 == count) {
        player->copy_from = (uint16_t)(run + count);
    }
    return byte_at(player, (uint16_t)(run + on));
}

/* States an area, or begins to fill it; `operand` is the first byte behind the operation. */
static uint8_t begin_grains(pageloom_player *player, uint8_t operation)
{
    player->at--; /* the operand is of what follows */
    if (operation == OP_AREA) {
        uint8_t runs = 0;

        player->beam = player->at;
        player->at = (uint16_t)(player->at + AREA_BYTES);
        do {
            uint8_t count = run_length(player, player->at);

            if (count == 0) {
                break;
            }
            player->at = (uint16_t)(player->at + RUN_CELLS + count);
        } while (++runs != 0);
        player->at++;
        return GO_ON;
    }
    player->copy_from = (uint16_t)(player->beam + AREA_BYTES);
    player->at = (uint16_t)(player->at + 3);
    player->filling = FLICKERING;
    player->page = area_byte(player, AREA_PAGE);
    player->data_left = area_byte(player, AREA_CELLS);
    player->fill = 1;
    return player->data_left > 0 ? GO_ON : PAGELOOM_FAULT;
}

/* The cell at hand, so many columns on in the area. */
static uint8_t grains(const pageloom_player *player, uint8_t on)
{
    uint8_t turn = area_byte(player, AREA_TURN), density = byte_at(player, (uint16_t)(player->at - 1));
    uint8_t rows = (uint8_t)((player->page - area_byte(player, AREA_PAGE)) * 8), bit = 1, cell = 0, by_row = 1;
    uint8_t place[2], *moves = place + 1; /* across and down, and which of them moves from row to row */
    uint16_t seed = byte_at(player, (uint16_t)(player->at - 3));

    seed |= (uint16_t)((uint16_t)byte_at(player, (uint16_t)(player->at - 2)) << 8);
    if (turn & SWAPS) {
        uint8_t columns = on;

        on = rows;
        rows = columns;
        moves = place;
    }
    place[0] = placed(area_byte(player, AREA_ACROSS), on, turn & FALLS_ACROSS);
    place[1] = placed(area_byte(player, AREA_DOWN), rows, turn & FALLS_DOWN);
    if (turn & (turn & SWAPS ? FALLS_ACROSS : FALLS_DOWN)) {
        by_row = 0xFF;
    }
    do {
        if (hash(seed, place[0], place[1]) < density) {
            cell |= bit;
        }
        *moves = (uint8_t)(*moves + by_row);
        bit = (uint8_t)(bit << 1);
    } while (bit != 0);
    return cell;
}

/* Sends cells of the area, as far as the allowance goes. */
static APART uint8_t flicker(pageloom_player *player)
{
    do {
        uint8_t on = (uint8_t)(area_byte(player, AREA_CELLS) - player->data_left), status = GO_ON;
        uint8_t column = (uint8_t)(area_byte(player, AREA_COLUMN) + on);

        if (player->fill) {
            status = seek(player, (uint8_t)(0xB0 | player->page), column);
            if (status == GO_ON) {
                player->fill = 0;
            }
        }
        if (status == GO_ON && player->room == 0) {
            status = begin(player, DATA, 1);
            if (status == GO_ON) {
                make_room(player);
            }
        }
        if (status != GO_ON) {
            return status;
        }
        player->room--;
        player->allowed--;
        if (!pageloom_bus_write(grains(player, on) | beneath(player, column))) {
            return PAGELOOM_FAULT;
        }
        player->data_left--;
        if (player->data_left == 0
            && (uint8_t)(player->page - area_byte(player, AREA_PAGE) + 1) < area_byte(player, AREA_ROWS)) {
            player->page++;
            player->data_left = area_byte(player, AREA_CELLS);
            player->fill = 1;
        }
    } while (player->data_left > 0);
    return GO_ON;
}
#endif
