/* live.c - live values: numbers that firmware sets and areas show. */

#ifdef PAGELOOM_LIVE
/*
 * In a reel the live values stand before the set-up, the first one last: lowest value, range, factor, and how far the first value is
 * above the lowest. A step is so many 1/65536 of a value above the lowest as the factor says, rounded.
 */
enum { LIVE_RANGE = 2, LIVE_FACTOR = 4, LIVE_START = 6, LIVE_BYTES = 8 };

/*
 * Before the course of an area whose kind says so stand the parts of its phase, and how many there are: number of the live value and
 * form, operand. The operand is the part of each step, or where the parts of all steps stand, as bytes or as words.
 */
enum { PART_BYTES = 3, PART_NUMBER = 0x3F, PART_OF_BYTES = 0x40, PART_OF_EACH_STEP = 0x80 };

/* A word of the reel; nothing of the player changes, so that it may be read in an interrupt. */
static APART uint16_t word_at(const pageloom_player *player, uint16_t at)
{
    return (uint16_t)(byte_at(player, at) | (uint16_t)byte_at(player, (uint16_t)(at + 1)) << 8);
}

/* What the reel says of a live value. */
static uint16_t live_word(const pageloom_player *player, uint8_t live, uint8_t which)
{
    uint16_t at = (uint16_t)(which - LIVE_BYTES * (live + 1));

    return word_at(player, (uint16_t)(word_at(player, SET_UP_OFFSET) + at));
}

/* How far a value is above the lowest; an interrupt may set it between two readings of its bytes. */
static uint16_t live_above(const pageloom_player *player, uint8_t live)
{
    uint16_t above;

    do {
        above = player->live[live];
    } while (above != player->live[live]);
    return above;
}

/* All values begin as the show says. */
static void start_live(pageloom_player *player)
{
    uint8_t live;

    for (live = 0; live < PAGELOOM_LIVE; live++) {
        player->live[live] = live_word(player, live, LIVE_START);
    }
}

/* Takes up the values for a frame. */
static void take_live(pageloom_player *player)
{
    uint8_t live;

    for (live = 0; live < PAGELOOM_LIVE; live++) {
        uint32_t product = (uint32_t)live_above(player, live) * live_word(player, live, LIVE_FACTOR);

        player->steps[live] = (uint8_t)((product + 0x8000u) >> 16);
    }
}

/* What live values add to the phase of an area whose record is at an offset; `at` is the player's place in the parts meanwhile. */
static APART uint16_t live_part(pageloom_player *player, uint16_t record)
{
    uint16_t all = 0;
    uint8_t left;

    player->at = record;
    record = (uint16_t)(next_word(player) - 1);
    left = byte_at(player, record);
    player->at = (uint16_t)(record - (uint16_t)(PART_BYTES * left));
    for (; left > 0; left--) {
        uint8_t form = next_byte(player), live = form & PART_NUMBER;
        uint16_t part = next_word(player), step = 0;

        if (live < PAGELOOM_LIVE) {
            step = player->steps[live];
        }
        if (form & PART_OF_EACH_STEP) {
            part = (uint16_t)(part * step);
        } else if (form & PART_OF_BYTES) {
            part = byte_at(player, (uint16_t)(part + step));
        } else {
            part = word_at(player, (uint16_t)(part + 2u * step));
        }
        all = (uint16_t)(all + part);
    }
    return all;
}

void pageloom_set(pageloom_player *player, uint8_t live, int16_t value)
{
    uint16_t lowest, range, above;

    if (live >= PAGELOOM_LIVE) {
        return;
    }
    lowest = live_word(player, live, 0);
    range = live_word(player, live, LIVE_RANGE);
    above = (uint16_t)((uint16_t)value - lowest);
    if (value < (int16_t)lowest) {
        above = 0;
    }
    if (above > range) {
        above = range;
    }
    player->live[live] = above;
}

int16_t pageloom_get(const pageloom_player *player, uint8_t live)
{
    if (live >= PAGELOOM_LIVE) {
        return 0;
    }
    return (int16_t)(uint16_t)(live_word(player, live, 0) + live_above(player, live));
}
#endif
