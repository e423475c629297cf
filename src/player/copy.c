/* copy.c - sends cells of the copy of the picture, and what areas draw over them. */

#ifdef PAGELOOM_DRAWS
/* The longest gap of unchanged cells that is sent; and a column of the display's pointer that is far from all cells. */
enum { LONGEST_GAP = 6, NOWHERE = 0xC0 };

/* The least allowance for composing cells that areas cover. */
enum { LEAST_FOR_CELLS = 8 };

#ifdef PAGELOOM_AREAS
/*
 * Composes `count` cells from a column of the display's memory on, if areas cover some of them: the first area has the cells of all.
 * Returns GO_ON if it did, and FOUND_ALL if there is nothing to compose.
 */
static APART uint8_t compose_drawn(pageloom_player *player, uint8_t column, uint8_t count, uint8_t *cells)
{
    uint16_t back = player->at;
    pageloom_span span;

    player->page = OF_COPY(player, page);
    player->column = column;
    player->composed = count;
    player->owed = 0;
    if (player->count == 0 || !find_span(player, 0, &span)) {
        return FOUND_ALL;
    }
    if (player->allowed < LEAST_FOR_CELLS) {
        return PAGELOOM_BUSY;
    }
    player->owed = 1;
    compose(player, 0, cells);
    player->at = back;
    return GO_ON;
}
#endif

/* Sends the drawn cell, which is in this column of the picture, and the cells between the display's pointer and it if they are few. */
static APART uint8_t send_drawn(pageloom_player *player, uint8_t column)
{
    const uint8_t *here = OF_COPY(player, here);
    uint8_t before = (uint8_t)(column - OF_COPY(player, pointer)), first = OF_COPY(player, first_column), status;
#ifdef PAGELOOM_AREAS
    uint8_t cells[CHUNK];
#endif

    if (before > LONGEST_GAP) {
        status = seek(player, (uint8_t)(0xB0 | OF_COPY(player, page)), (uint8_t)(first + column));
        if (status == GO_ON) {
            status = close_transaction(player);
        }
        if (status != GO_ON) {
            return status;
        }
        before = 0;
        OF_COPY(player, pointer) = column;
    }
    here -= before;
#ifdef PAGELOOM_AREAS
    status = compose_drawn(player, (uint8_t)(first + column - before), (uint8_t)(before + 1), cells);
    if (status == PAGELOOM_BUSY) {
        return status;
    }
    if (status == GO_ON) {
        here = cells;
    }
#endif
    do {
        if (player->room == 0) {
            status = begin(player, DATA, 1);
            if (status != GO_ON) {
                return status;
            }
            make_room(player);
        }
        player->room--;
        status = send_byte(player, *here++);
        if (status != GO_ON) {
            return status;
        }
        OF_COPY(player, pointer)++;
    } while (before-- > 0);
#ifdef PAGELOOM_AREAS
    spend(player, player->owed);
#endif
    return GO_ON;
}
#endif
