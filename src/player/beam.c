/* beam.c - a turning beam with a dithered trail, in whole numbers: which pixels of a cell it lights, and which no longer. */

/* Tangents halfway between the bearings of an eighth of a turn, in 1/128: tan((at + 1/2) x 360 / 256 degrees) x 128. */
static const uint8_t tangents[33] PAGELOOM_FLASH = {
    2,  5,  8,  11, 14, 17, 21, 24, 27, 30, 34, 37, 41,  44,  48,  51,  55,
    59, 62, 66, 70, 75, 79, 83, 88, 93, 97, 102, 108, 113, 119, 125, 131
};

/* Limits of a beam, row by row. */
enum { LIMITS = 16 };

/* Bearings of a whole turn are 256; an eighth has 32, and tangents are in 1/128. */
enum { EIGHTH = 32, QUARTER = 64, HALF_TURN = 128, ONE_SHIFT = 7, HALF_PIXEL = 64 };

/*
 * A pixel of the line is so many bearings off its direction at most where it is so many columns from the centre or more (half
 * a pixel is 20.4 / 3 bearings there, and roundings), and so many are the eight rows of a cell apart there (7 of 3: 95 degrees).
 */
enum { LINE_BEARINGS = 8, LINE_COLUMNS = 3, MOST_APART = 70 };
#define IS_OFF_CENTRE(x) ((uint8_t)((x) + LINE_COLUMNS - 1) > 2 * (LINE_COLUMNS - 1))

/* The bearing of a place from the centre, clockwise from the top. */
static APART uint8_t bearing(int8_t x, int8_t y)
{
    uint8_t across = (uint8_t)(x < 0 ? -x : x), down = (uint8_t)(y < 0 ? -y : y);
    uint8_t ahead = down, aside = across, step, place = 0;
    uint16_t scaled;

    if (across > down) {
        ahead = across;
        aside = down;
    }
    scaled = (uint16_t)((uint16_t)aside << ONE_SHIFT);
    for (step = EIGHTH / 2; step > 0; step >>= 1) {
        if (scaled >= (uint16_t)(ahead * PAGELOOM_READ(tangents + place + step - 1))) {
            place = (uint8_t)(place + step);
        }
    }
    if (across > down) {
        place = (uint8_t)(QUARTER - place);
    }
    if (y > 0) {
        place = (uint8_t)(HALF_TURN - place);
    }
    return (uint8_t)(x < 0 ? -place : place);
}

/* Sets a pointer to a direction. */
static APART void point(pageloom_pointer *pointer, uint8_t direction)
{
    uint8_t quarter = (uint8_t)(direction + EIGHTH) & (QUARTER + HALF_TURN);
    int8_t aside = (int8_t)(direction - quarter);
    const uint8_t *tangent = tangents + (aside < 0 ? -aside : aside);

    pointer->direction = direction;
    pointer->quarter = quarter;
    pointer->tangent = 0;
    if (aside != 0) {
        pointer->tangent = (PAGELOOM_READ(tangent - 1) + PAGELOOM_READ(tangent)) >> 1;
        if (aside < 0) {
            pointer->tangent = (int16_t)-pointer->tangent;
        }
    }
}

/* Whether a place lies in the trail of a pointer, or on the line from the centre in its direction. */
static APART uint8_t lights(const pageloom_pointer *pointer, int8_t x, int8_t y, uint8_t place, uint8_t limit)
{
    uint8_t behind = (uint8_t)(pointer->direction - place);
    int8_t ahead = (int8_t)-y, right = x;
    int16_t off;

    if (behind < limit) {
        return 1;
    }
    if (IS_OFF_CENTRE(x) && (uint8_t)(behind + LINE_BEARINGS) > 2 * LINE_BEARINGS) {
        return 0;
    }
    if (pointer->quarter & QUARTER) {
        ahead = x;
        right = y;
    }
    if (pointer->quarter & HALF_TURN) {
        ahead = (int8_t)-ahead;
        right = (int8_t)-right;
    }
    off = (int16_t)(right * (1 << ONE_SHIFT) - ahead * pointer->tangent);
    return ahead >= 0 && off > -HALF_PIXEL && off <= HALF_PIXEL;
}

/* Turns both pointers to where the beam points, and where it pointed one frame before. */
static APART void turn_beam(pageloom_beam *beam)
{
    uint8_t last = (uint8_t)((uint16_t)(beam->direction - beam->turn) >> 8), now = (uint8_t)(beam->direction >> 8);

    point(&beam->last, last);
    point(&beam->now, now);
    beam->far_from = (uint8_t)(beam->longest + now - last);
}

/* Whether the line is past a place, and the trail too, in this frame and was in the last one. */
static APART uint8_t is_far(const pageloom_beam *beam, uint8_t behind)
{
    return behind > beam->far_from && behind < 256 - LINE_BEARINGS;
}

/* Whether a cell is far off in whole: both its ends are, and the beam did not pass between them. */
static APART uint8_t cell_is_far(const pageloom_beam *beam, int8_t x, int8_t y)
{
    uint8_t above = (uint8_t)(beam->now.direction - bearing(x, y));
    uint8_t below = (uint8_t)(beam->now.direction - bearing(x, (int8_t)(y + 7)));

    return is_far(beam, above) && is_far(beam, below) && (uint8_t)(above - below + MOST_APART) <= 2 * MOST_APART;
}

/* What a cell becomes: without what the beam lit a frame ago, with what it lights now. */
static APART uint8_t beamed(const pageloom_beam *beam, uint8_t column, uint8_t row, uint8_t cell)
{
    const uint8_t *limits = beam->limits + (column & 3);
    int8_t x = (int8_t)(column - beam->column), y = (int8_t)(row - beam->row);
    uint16_t square = (uint16_t)(x * x);
    uint8_t bit = 1;

    if (beam->mirrored) {
        x = (int8_t)-x;
    }
    if (square > beam->reach) {
        return cell;
    }
    if (IS_OFF_CENTRE(x) && cell_is_far(beam, x, y)) {
        return cell;
    }
    do {
        if ((uint16_t)(square + (uint16_t)(y * y)) <= beam->reach) {
            uint8_t limit = PAGELOOM_READ(limits), place = bearing(x, y);

            if (lights(&beam->now, x, y, place, limit)) {
                cell |= bit;
            } else if (lights(&beam->last, x, y, place, limit)) {
                cell &= (uint8_t)~bit;
            }
        }
        limits += 4;
        y++;
        bit = (uint8_t)(bit << 1);
        if (bit == 0x10) {
            limits -= LIMITS;
        }
    } while (bit != 0);
    return cell;
}
