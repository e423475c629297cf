/*
 * Thresholds: a live value raises a trigger by itself when it falls below a limit, or rises above it. The show has a table of
 * thresholds in flash. A threshold can raise its trigger again after the value has come back to `again`.
 *
 *     pageloom_thresholds_start(&thresholds, helm_thresholds);
 *     ...
 *     pageloom_watch(&thresholds, &player);       before each call of pageloom_tick or pageloom_supervise
 *
 * This calls pageloom_trigger, so do not raise other triggers from an interrupt.
 */
typedef struct {
    const uint8_t *table; /* in flash */
    uint16_t met;         /* a bit for each threshold: whether its value is beyond the limit */
} pageloom_thresholds;

/* Starts the thresholds of `table`, the table of the show. None of them is met yet. */
void pageloom_thresholds_start(pageloom_thresholds *thresholds, const uint8_t *table);

/* Raises the trigger of each threshold that its value has passed since the last call. */
void pageloom_watch(pageloom_thresholds *thresholds, pageloom_player *player);
