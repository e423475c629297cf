/* threshold.c - triggers that live values raise by themselves; threshold.h says how to use it. */

/*
 * A table: the number of thresholds, at most 16. Then for each: number of the live value, with the highest bit set if the value must
 * rise above the limit; the limit; the value at which the threshold is ready again; the trigger. Limits have two bytes.
 */
enum { THRESHOLD_LIMIT = 1, THRESHOLD_AGAIN = 3, THRESHOLD_TRIGGER = 5, THRESHOLD_BYTES = 6, THRESHOLD_ABOVE = 0x80 };

void pageloom_thresholds_start(pageloom_thresholds *thresholds, const uint8_t *table)
{
    thresholds->table = table;
    thresholds->met = 0;
}

void pageloom_watch(pageloom_thresholds *thresholds, pageloom_player *player)
{
    const uint8_t *at = thresholds->table;
    uint8_t left = PAGELOOM_READ(at);
    uint16_t bit = 1;

    for (at++; left > 0; left--) {
        uint8_t live = PAGELOOM_READ(at);
        int16_t value = pageloom_get(player, live & (THRESHOLD_ABOVE - 1));
        const uint8_t *limit = at + (thresholds->met & bit ? THRESHOLD_AGAIN : THRESHOLD_LIMIT);
        int16_t other = (int16_t)(uint16_t)(PAGELOOM_READ(limit) | (uint16_t)PAGELOOM_READ(limit + 1) << 8);
        uint8_t beyond = live & THRESHOLD_ABOVE ? value > other : value < other;

        if (beyond && !(thresholds->met & bit)) {
            pageloom_trigger(player, PAGELOOM_READ(at + THRESHOLD_TRIGGER));
        }
        thresholds->met = (uint16_t)(beyond ? thresholds->met | bit : thresholds->met & ~bit);
        bit = (uint16_t)(bit << 1);
        at += THRESHOLD_BYTES;
    }
}
