/*
 * Thresholds: triggers that a live value raises by itself when it falls below a limit, or rises above it. A show's table in flash says
 * which; one is ready again when the value has come back far enough.
 *
 *     pageloom_thresholds_start(&thresholds, helm_thresholds);
 *     ...
 *     pageloom_watch(&thresholds, &player);       before each call of pageloom_tick or pageloom_supervise
 *
 * A trigger raised takes effect as by pageloom_trigger, so raise no others from an interrupt.
 */
typedef struct {
    const uint8_t *table; /* in flash */
    uint16_t met;         /* a bit for each threshold: whether its value is beyond it */
} pageloom_thresholds;

/* None is met yet. `table` is the show's. */
void pageloom_thresholds_start(pageloom_thresholds *thresholds, const uint8_t *table);

/* Raises the trigger of each threshold that its value has passed since the last call. */
void pageloom_watch(pageloom_thresholds *thresholds, pageloom_player *player);
