/* lamp.c - the level of a lamp over time, from its table in flash; lamp.h says how to use it. */

/*
 * A table: the period in milliseconds (3 bytes; 0 if the pattern plays once); the level at its start; then steps of 3 bytes: the
 * duration in milliseconds (15 bits) and the level at the end of the step. If the highest bit is set, the step has its level from
 * the start; with the duration 0 it is the last one.
 */
enum { LAMP_START = 3, LAMP_STEPS = 4, LAMP_STEP = 3, LAMP_AT_ONCE = 0x80 };

uint8_t pageloom_lamp_level(const uint8_t *lamp, uint32_t elapsed)
{
    uint32_t period = PAGELOOM_READ(lamp) | (uint32_t)PAGELOOM_READ(lamp + 1) << 8 | (uint32_t)PAGELOOM_READ(lamp + 2) << 16;
    uint8_t level = PAGELOOM_READ(lamp + LAMP_START);

    if (period != 0) {
        elapsed %= period;
    }
    for (lamp += LAMP_STEPS;; lamp += LAMP_STEP) {
        uint8_t high = PAGELOOM_READ(lamp + 1), next = PAGELOOM_READ(lamp + 2);
        uint16_t duration = (uint16_t)((high & 0x7F) << 8 | PAGELOOM_READ(lamp));

        if (high & LAMP_AT_ONCE) {
            level = next;
            if (duration == 0) {
                return level;
            }
        }
        if (elapsed < duration) {
            uint8_t way = (uint8_t)(next > level ? next - level : level - next);
            uint8_t gone = (uint8_t)((way * elapsed + duration / 2) / duration);

            return (uint8_t)(next > level ? level + gone : level - gone);
        }
        elapsed -= duration;
        level = next;
    }
}
