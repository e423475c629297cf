/*
 * Live values: numbers that the firmware sets and the show draws, such as a level or a depth. A show's header names them.
 *
 *     pageloom_set(&player, HELM_LIVE_LEVEL, 42);
 *
 * A value takes effect with the next frame, also in a scene that is held. Values stay as they are while scenes change and when the
 * player is restarted; one set between pageloom_start and the first tick counts. May be called from an interrupt, as the player
 * takes up a value in one piece. Set each value from the main loop or from an interrupt, not from both.
 */

/* Sets a live value; one beyond its limits counts as the nearest. */
void pageloom_set(pageloom_player *player, uint8_t live, int16_t value);

/* A live value as it is set. */
int16_t pageloom_get(const pageloom_player *player, uint8_t live);
