/*
 * Live values: numbers that the firmware sets and the show draws, such as a level or a depth. A show's header names them.
 *
 *     pageloom_set(&player, HELM_LIVE_LEVEL, 42);
 *
 * A value takes effect with the next frame, also in a scene that holds. Values do not change when the scene changes or the player
 * restarts. You can set a value at any time after pageloom_start, also from an interrupt. Set each value either from the main loop
 * or from an interrupt, not from both.
 */

/* Sets a live value. A value outside its range is replaced by the nearest value of the range. */
void pageloom_set(pageloom_player *player, uint8_t live, int16_t value);

/* Returns a live value as it was set. */
int16_t pageloom_get(const pageloom_player *player, uint8_t live);
