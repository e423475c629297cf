/* change.c - cells that change, sent with the short gaps between them: what a beam and scrolling lines have in common. */

#if defined PAGELOOM_TURNS || defined PAGELOOM_ROLLS
/*
 * In place of a value to fill with: how many cells come that are sent because the gap before them is short, or else how many lie
 * between the display's pointer and the one at hand, and PASSED; so many are no longer counted.
 */
enum { PASSED = 0x80, POINTS_ELSEWHERE = PASSED + 8 };

/* Sends a cell of a page. Sets the display's pointer first if it is elsewhere. */
static uint8_t send_changed(pageloom_player *player, uint8_t page, uint8_t column, uint8_t cell)
{
    uint8_t status;

    if (player->fill == POINTS_ELSEWHERE) {
        status = seek(player, (uint8_t)(0xB0 | page), column);
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
    player->room--;
    player->allowed--;
    return pageloom_bus_write(cell) ? GO_ON : PAGELOOM_FAULT;
}
#endif
