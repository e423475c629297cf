/* live.c - live values: numbers that firmware sets. Areas and the contrast of the display can follow them. */

#ifdef PAGELOOM_LIVE
/*
 * The live values of a reel are stored before its set-up, in reverse order. Each has four words: value at the start, highest value,
 * lowest value, factor. The step of a value is (value - lowest) x factor / 65536, rounded.
 */
enum { LIVE_HIGHEST = 2, LIVE_BYTES = 8 };

#ifdef PAGELOOM_AREAS
/*
 * What live values add to the phase of an area is stored before its course: three bytes for each value that the area follows. They
 * are the number of the value with the form in the upper two bits, and an operand of 16 bits. Form 80: add the step times the
 * operand. 00: add the byte of the step in the table at this offset. 40: add 256 times that byte.
 */
enum { LIVE_KIND = 6, PARTS_SHIFT = 5, PART_BYTES = 3, PART_NUMBER = 0x3F, PART_HIGH = 0x40, PART_OF_EACH_STEP = 0x80 };
#endif

/* Reads a word of a constant and advances the pointer. */
#define NEXT_WORD(word, from) \
    do { \
        (word) = PAGELOOM_NEXT(from); \
        (word) |= (uint16_t)((uint16_t)PAGELOOM_NEXT(from) << 8); \
    } while (0)

#ifdef PAGELOOM_AREAS
/* Copies the steps of the live values, so that they stay the same during a frame. */
static void take_live(pageloom_player *player)
{
    pageloom_live *own = player->live;
    uint8_t left = PAGELOOM_LIVE;

    do {
        own->drawn = own->step;
        own++;
    } while (--left > 0);
}

/*
 * Adds the parts of live values to the phase of the area whose record is at this offset. Returns the step of the last value. The
 * caller restores `player->at`.
 */
static uint8_t add_live_parts(pageloom_player *player, pageloom_area *area, uint16_t record)
{
    uint8_t left = byte_at(player, (uint16_t)(record + LIVE_KIND)) >> PARTS_SHIFT, step = 0;

    area->shown = area->phase;
    player->at = record;
    player->at = (uint16_t)(next_word(player) - (uint16_t)(PART_BYTES * left));
    for (; left > 0; left--) {
        uint8_t form = next_byte(player), live = form & PART_NUMBER;
        uint16_t part = next_word(player);

        step = 0;
        if (live < PAGELOOM_LIVE) {
            step = player->live[live].drawn;
        }
        if (form & PART_OF_EACH_STEP) {
            part = (uint16_t)(part * step);
        } else {
            part = byte_at(player, (uint16_t)(part + step));
            if (form & PART_HIGH) {
                part = (uint16_t)(part << 8);
            }
        }
        area->shown = (uint16_t)(area->shown + part);
    }
    return step;
}
#endif

void pageloom_set(pageloom_player *player, uint8_t live, int16_t value)
{
    const uint8_t *from;
    pageloom_live *own;
    uint16_t word, factor;
    uint32_t product;

    if (live >= PAGELOOM_LIVE) {
        return;
    }
    word = (uint16_t)(player->set_up - (uint16_t)(LIVE_BYTES * (live + 1)));
    if (word >= player->set_up || player->set_up > player->reel_size) {
        return; /* this reel has fewer values */
    }
    from = player->reel + word + LIVE_HIGHEST;
    NEXT_WORD(word, from);
    if (value > (int16_t)word) {
        value = (int16_t)word;
    }
    NEXT_WORD(word, from);
    if (value < (int16_t)word) {
        value = (int16_t)word;
    }
    own = player->live + live;
    own->value = value;
    word = (uint16_t)((uint16_t)value - word);
    NEXT_WORD(factor, from);
    product = (uint32_t)word * factor;
    own->step = (uint8_t)((uint8_t)(product >> 16) + ((uint16_t)product >= 0x8000u));
}

int16_t pageloom_get(const pageloom_player *player, uint8_t live)
{
    const pageloom_live *own = player->live + live;
    int16_t value;

    if (live >= PAGELOOM_LIVE) {
        return 0;
    }
    do { /* an interrupt may set the value while its two bytes are read */
        value = own->value;
    } while (value != own->value);
    return value;
}

#ifdef PAGELOOM_TEXTS
void pageloom_set_text(pageloom_player *player, const uint8_t *table, const char *text)
{
    uint8_t live = PAGELOOM_READ(table), count = PAGELOOM_READ(table + 1), length = 0, before, at;

    while (length < count && text[length] != 0) {
        length++;
    }
    before = (uint8_t)((count - length) * PAGELOOM_READ(table + 2) / 2);
    for (at = 0; at < count; at++) {
        uint8_t inside = at >= before && at - before < length, number = 0;

        if (inside) {
            for (number = PAGELOOM_READ(table + 3); number > 0; number--) {
                if (PAGELOOM_READ(table + 3 + number) == (uint8_t)text[at - before]) {
                    break;
                }
            }
        }
        pageloom_set(player, (uint8_t)(live + at), number);
    }
}
#endif

/* Sets all values to those at the start of the show. The caller restores `player->at`. */
static void start_live(pageloom_player *player)
{
    uint16_t at;
    uint8_t live;

    player->at = SET_UP_OFFSET;
    at = next_word(player);
    player->set_up = at;
    for (live = 0; live < PAGELOOM_LIVE; live++) {
        at = (uint16_t)(at - LIVE_BYTES);
        player->at = at;
        pageloom_set(player, live, (int16_t)next_word(player));
    }
}
#endif
