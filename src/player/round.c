/* round.c - a part of the picture that repeats on its own (a loop). Each frame plays the next piece of the loop, then its own rest. */

#ifdef PAGELOOM_ROUNDS
#define END_ROUND(player) ((player)->round = 0)

/* Begins a loop: its length comes first, then its instructions. Its first piece belongs to the current frame. */
static uint8_t begin_round(pageloom_player *player)
{
    uint16_t length = next_word(player);

    player->round = (uint16_t)(player->at + length);
    player->waits = 0;
    player->phase = IN_ROUND;
    return GO_ON;
}

/* Switches from the rest of the frame to the next piece of the loop, or back. */
static void change_over(pageloom_player *player)
{
    uint16_t at = player->at;

    player->at = player->round;
    player->round = at;
}

/* Begins a frame with the next piece of the loop. */
static void enter_round(pageloom_player *player)
{
    change_over(player);
    player->phase = IN_ROUND;
}

/* Continues after the piece with the rest of the frame, if there is any. */
static uint8_t leave_round(pageloom_player *player)
{
    uint8_t waits = player->waits;

    change_over(player);
    if (waits > 0) {
        return frame_ends(player, WAITING, (uint8_t)(waits - 1));
    }
    player->phase = SENDING;
    return GO_ON;
}
#else
#define END_ROUND(player) ((void)0)
#endif
