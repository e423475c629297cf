/* change.c - sends cells that change and the short gaps between them, for beams and scrolling lines. */

#if defined PAGELOOM_TURNS || defined PAGELOOM_ROLLS
/*
 * Here `fill` is a number of cells. Without PASSED: cells of a short gap that are still to be sent. With PASSED: cells between the
 * display's pointer and the current cell; POINTS_ELSEWHERE means 8 or more.
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
