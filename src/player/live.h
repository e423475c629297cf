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

#ifdef PAGELOOM_TEXTS
/*
 * Sets a live text, by its table in flash. Text beyond its width is cut off. Characters that the script does not list
 * stay empty. Set each text from the main loop only.
 *
 *     pageloom_set_text(&player, helm_text_volts, "12.4");
 */
void pageloom_set_text(pageloom_player *player, const uint8_t *table, const char *text);
#endif

/*
 * The peak of a value, for a second live value: the highest recent value, which is held for a while and then falls steadily. It takes
 * no memory unless you call it.
 *
 *     static pageloom_peak peak = PAGELOOM_NO_PEAK;
 *     pageloom_set(&player, HELM_LIVE_PEAK, pageloom_hold_peak(&peak, level, milliseconds(), 1000, 20));
 */
typedef struct {
    int16_t value;
    uint16_t due; /* when it may fall next, ms */
} pageloom_peak;

#define PAGELOOM_NO_PEAK { -32767 - 1, 0 }

/*
 * Takes a value and returns the peak. The peak is held for `hold_ms`, then it falls by 1 every `fall_ms`, but never below the value.
 * Both times are 30,000 at most. `now_ms` is a clock in milliseconds that may wrap. Call this at least every 2 seconds.
 */
static inline int16_t pageloom_hold_peak(pageloom_peak *peak, int16_t value, uint16_t now_ms, uint16_t hold_ms, uint16_t fall_ms)
{
    if (value >= peak->value) {
        peak->value = value;
        peak->due = (uint16_t)(now_ms + hold_ms);
    }
    while (peak->value > value && (uint16_t)(now_ms - peak->due) < 0x8000u) {
        peak->value--;
        peak->due = (uint16_t)(peak->due + fall_ms);
    }
    return peak->value;
}

/*
 * The place of something that moves at a speed which the firmware sets, such as a marquee, for a live value of its own. It takes no
 * flash or RAM unless it is used.
 *
 *     static pageloom_way way = PAGELOOM_NO_WAY;
 *     pageloom_set(&player, HELM_LIVE_WAY, pageloom_move_on(&way, speed, milliseconds(), 120));
 */
typedef struct {
    uint16_t place;
    uint16_t last; /* the time of the last call, ms */
    int32_t rest;  /* thousandths of a place */
} pageloom_way;

#define PAGELOOM_NO_WAY { 0, 0, 0 }

/*
 * Moves on at `speed` places a second, -1,000 to 1,000, and returns the place: 0 to `places` - 1. After the last place comes the first.
 * `places` is 32,767 at most; with 0 places nothing moves. `now_ms` is a clock in milliseconds that may wrap. Call this at least every 2 seconds.
 */
static inline int16_t pageloom_move_on(pageloom_way *way, int16_t speed, uint16_t now_ms, uint16_t places)
{
    uint16_t passed = (uint16_t)(now_ms - way->last);

    way->last = now_ms;
    if (places == 0) {
        return (int16_t)way->place;
    }
    way->rest += (int32_t)speed * passed;
    for (; way->rest >= 1000; way->rest -= 1000) {
        way->place++;
        if (way->place >= places) {
            way->place = 0;
        }
    }
    for (; way->rest < 0; way->rest += 1000) {
        if (way->place == 0) {
            way->place = places;
        }
        way->place--;
    }
    return (int16_t)way->place;
}
