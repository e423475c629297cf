/* copy.c - sends cells of the copy of the picture, and what areas draw over them. */

#ifdef PAGELOOM_DRAWS
/* The longest gap of unchanged cells that is sent; and a column of the display's pointer that is far from all cells. */
enum { LONGEST_GAP = 6, NOWHERE = 0xC0 };

/*
 * Sends the drawn cell at `here`, and the cells between the display's pointer and it if they are few. `column` and `pointer` count
 * from the leftmost column of the picture.
 */
static APART uint8_t send_drawn(pageloom_player *player, const uint8_t *here, uint8_t page, uint8_t column, uint8_t *pointer)
{
    uint8_t before = (uint8_t)(column - *pointer), first = OF_COPY(player, first_column), status;
#ifdef PAGELOOM_AREAS
    uint8_t cells[CHUNK];
    uint16_t back = player->at;
#endif

    if (before > LONGEST_GAP) {
        status = seek(player, (uint8_t)(0xB0 | page), (uint8_t)(first + column));
        if (status == GO_ON) {
            status = close_transaction(player);
        }
        if (status != GO_ON) {
            return status;
        }
        before = 0;
        *pointer = column;
    }
    here -= before;
#ifdef PAGELOOM_AREAS
    if (player->count > 0) {
        player->page = page;
        player->column = (uint8_t)(first + *pointer);
        player->composed = (uint8_t)(before + 1);
        player->owed = 1;
        compose(player, 0, cells);
        player->at = back;
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
        (*pointer)++;
    } while (before-- > 0);
#ifdef PAGELOOM_AREAS
    if (player->count > 0) {
        spend(player, player->owed);
    }
#endif
    return GO_ON;
}
#endif
