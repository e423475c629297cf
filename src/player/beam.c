/* beam.c - a turning beam with a dithered trail, in whole numbers: which pixels of a cell it lights, and which it lit before. */

#ifdef PAGELOOM_BEAM
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
 * a pixel is 20.4 / 3 bearings there, and roundings). The ends of a cell are less than half a turn apart there.
 */
enum { LINE_BEARINGS = 8, LINE_COLUMNS = 3 };

/*
 * From a column to the next the bearing of a place changes by less than 1 << NEAR_SHIFT, rounding counted, where it is LINE_COLUMNS
 * or more from the centre (40.8 / 3 + 1), and by less than 1 << WIDE_SHIFT from WIDE_COLUMNS on (40.8 / 14 + 1). A look at a cell
 * tells of so many at most.
 */
enum { NEAR_SHIFT = 4, WIDE_SHIFT = 2, WIDE_COLUMNS = 14, CELLS_A_LOOK = 16 };
#define IS_OFF_CENTRE(x) ((uint8_t)((x) + LINE_COLUMNS - 1) > 2 * (LINE_COLUMNS - 1))

/*
 * The bearing of a place from the centre, clockwise from the top. The place in the eighth of a turn is looked for from where the
 * last one was, as places come side by side; the diagonal itself counts as the bearing before it.
 */
static APART uint8_t bearing(pageloom_beam *beam, int8_t x, int8_t y)
{
    uint8_t across = (uint8_t)(x < 0 ? -x : x), down = (uint8_t)(y < 0 ? -y : y);
    uint8_t ahead = down, aside = across, place = beam->place;
    const uint8_t *tangent = tangents + place;
    uint16_t scaled;

    if (across > down) {
        ahead = across;
        aside = down;
    }
    scaled = (uint16_t)((uint16_t)aside << ONE_SHIFT);
    if (scaled >= (uint16_t)(ahead * PAGELOOM_READ(tangent))) {
        while (place < EIGHTH - 1 && scaled >= (uint16_t)(ahead * PAGELOOM_READ(tangent))) {
            tangent++;
            place++;
        }
    } else {
        while (place > 0 && scaled < (uint16_t)(ahead * PAGELOOM_READ(tangent - 1))) {
            tangent--;
            place--;
        }
    }
    beam->place = place;
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

/* Whether a place is on the line from the centre in a pointer's direction. */
static APART uint8_t on_line(const pageloom_pointer *pointer, int8_t x, int8_t y)
{
    int8_t ahead = (int8_t)-y, right = x;
    int16_t off;

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

/* Turns both pointers: to where the beam points, and where it pointed one frame before. */
static APART void aim(pageloom_beam *beam, uint8_t last, uint8_t now)
{
    point(&beam->last, last);
    point(&beam->now, now);
    beam->far_from = (uint8_t)(beam->longest + now - last);
}

/* How many bearings a place is beyond the line and the trail, in this frame and in the last one; 0 where it is not. */
static APART uint8_t margin(const pageloom_beam *beam, uint8_t behind)
{
    uint8_t past = (uint8_t)(behind - beam->far_from), ahead = (uint8_t)(256 - LINE_BEARINGS - behind);

    if (behind <= beam->far_from || behind >= 256 - LINE_BEARINGS) {
        return 0;
    }
    return past < ahead ? past : ahead;
}

/*
 * How many cells from this one on the beam does not touch, as far as a look at this one tells: the beam is far from both its ends
 * and did not pass between them.
 */
static APART uint8_t far_cells(pageloom_beam *beam, uint8_t column, uint8_t row)
{
    int8_t x = (int8_t)(column - beam->column), y = (int8_t)(row - beam->row);
    uint8_t off = (uint8_t)(x < 0 ? -x : x), most = off, shift = NEAR_SHIFT, above, below, far;

    if ((uint16_t)(x * x) > beam->reach) {
        return 1;
    }
    if (off < LINE_COLUMNS) {
        return 0;
    }
    if (off >= WIDE_COLUMNS) {
        shift = WIDE_SHIFT;
        most -= WIDE_COLUMNS - LINE_COLUMNS;
    }
    most -= LINE_COLUMNS - 1;
    if (x > 0) {
        most = CELLS_A_LOOK;
    }
    if (beam->mirrored) {
        x = (int8_t)-x;
    }
    below = (uint8_t)(beam->now.direction - bearing(beam, x, (int8_t)(y + 7)));
    above = (uint8_t)(beam->now.direction - bearing(beam, x, y)); /* the next bearing that is looked for is near this one */
    far = margin(beam, above);
    off = margin(beam, below);
    if (far > off) {
        far = off;
    }
    if (far == 0 || (above < below ? below - above : above - below) > HALF_TURN) {
        return 0;
    }
    far = (uint8_t)(1 + (far >> shift));
    return far < most ? far : most;
}

/* The pixels of a cell that the beam lights, and above them those that it lit a frame ago. */
static APART uint16_t beamed(pageloom_beam *beam, uint8_t column, uint8_t row)
{
    const uint8_t *limits = beam->limits + (column & 3);
    int8_t x = (int8_t)(column - beam->column), y = (int8_t)(row - beam->row);
    uint16_t square = (uint16_t)(x * x);
    uint8_t bit = 1, lit = 0, was = 0, reached = IS_OFF_CENTRE(x) ? 2 * LINE_BEARINGS : 0xFF;

    if (beam->mirrored) {
        x = (int8_t)-x;
    }
    do {
        if ((uint16_t)(square + (uint16_t)(y * y)) <= beam->reach) {
            uint8_t limit = PAGELOOM_READ(limits), place = bearing(beam, x, y);
            uint8_t behind = (uint8_t)(beam->now.direction - place), before = (uint8_t)(beam->last.direction - place);

            if (behind < limit || ((uint8_t)(behind + LINE_BEARINGS) <= reached && on_line(&beam->now, x, y))) {
                lit |= bit;
            }
            if (before < limit || ((uint8_t)(before + LINE_BEARINGS) <= reached && on_line(&beam->last, x, y))) {
                was |= bit;
            }
        }
        limits += 4;
        y++;
        bit = (uint8_t)(bit << 1);
        if (bit == 0x10) {
            limits -= LIMITS;
        }
    } while (bit != 0);
    return (uint16_t)((uint16_t)was << 8 | lit);
}
#endif
