/* round.c - a part of the picture that goes round beside the rest: each frame its next stretch, then what else there is. */

#ifdef PAGELOOM_ROUNDS
#define END_ROUND(player) ((player)->round = 0)

/* A round follows, behind its length: its first stretch is of the frame at hand. */
static uint8_t begin_round(pageloom_player *player)
{
    uint16_t length = next_word(player);

    player->round = (uint16_t)(player->at + length);
    player->waits = 0;
    player->phase = IN_ROUND;
    return GO_ON;
}

/* From the rest to the round's next stretch, or back. */
static void change_over(pageloom_player *player)
{
    uint16_t at = player->at;

    player->at = player->round;
    player->round = at;
}

/* A frame begins with the round's next stretch. */
static void enter_round(pageloom_player *player)
{
    change_over(player);
    player->phase = IN_ROUND;
}

/* Behind its stretch: what else there is of the frame, if anything is. */
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
