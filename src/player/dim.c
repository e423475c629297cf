/* dim.c - a contrast that follows a live value. It is sent when the scene opens, and with each frame in which it has changed. */

#ifdef PAGELOOM_DIMS
/* Operands of the instruction: number of the live value; offset of a table with a contrast for each of its steps. */
enum { DIMMING_BYTES = 3 };

/* What to do about the contrast: nothing, compare it and send it if it has changed, or send it in any case. */
enum { UP_TO_DATE, TO_BE_COMPARED, TO_BE_SENT };

/* Bytes of the longest command group that sets the contrast, with address and control byte. */
enum { LONGEST_DIMMING = 5 };

#define END_DIMMING(player) ((player)->dimming = 0, (player)->dims = UP_TO_DATE)
#define FRAME_DIMS(player) ((player)->dims = (uint8_t)((player)->dims | ((player)->dimming != 0)))

/* The contrast of the scene follows a live value from this instruction on. */
static uint8_t begin_dimming(pageloom_player *player)
{
    if (player->phase != SENDING) {
        return PAGELOOM_FAULT;
    }
    player->dimming = player->at;
    player->at = (uint16_t)(player->at + DIMMING_BYTES);
    player->dims = TO_BE_SENT;
    return GO_ON;
}

/* Sends the contrast if it differs from the one sent last, or in any case if the scene has just opened. */
static APART uint8_t dim(pageloom_player *player)
{
    uint16_t back = player->at;
    uint8_t live, step = 0, contrast;

    player->at = player->dimming;
    live = next_byte(player);
    if (live < PAGELOOM_LIVE) {
        step = player->live[live].step;
    }
    contrast = byte_at(player, (uint16_t)(next_word(player) + step));
    player->at = back;
    if (player->dims == TO_BE_SENT || contrast != player->contrast) {
        if (player->allowed < LONGEST_DIMMING) {
            return PAGELOOM_BUSY;
        }
        if (begin(player, COMMANDS, 2) != GO_ON) {
            return PAGELOOM_FAULT;
        }
        player->contrast = contrast;
        player->allowed = (uint8_t)(player->allowed - 2);
        if (IS_BANKED(player)) {
            player->allowed--;
            if (!pageloom_bus_write(0x21) || !pageloom_bus_write(0x80 | contrast) || !pageloom_bus_write(0x20)) {
                return PAGELOOM_FAULT;
            }
        } else if (!pageloom_bus_write(0x81) || !pageloom_bus_write(contrast)) {
            return PAGELOOM_FAULT;
        }
    }
    player->dims = UP_TO_DATE;
    return close_transaction(player);
}
#else
#define END_DIMMING(player) (void)0
#define FRAME_DIMS(player) (void)0
#endif
