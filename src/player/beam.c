/* beam.c - a turning beam with a dithered trail: which pixels of a cell it lights in this frame, and which in the previous one. */

#ifdef PAGELOOM_BEAM
/* A whole turn has 256 bearings, an eighth of it 32. Tangents are in 1/128. */
enum { EIGHTH = 32, QUARTER = 64, HALF_TURN = 128, ONE_SHIFT = 7, HALF_PIXEL = 64 };

/* From this tangent on, halfway between the last two bearings of an eighth, the bearing is that of the diagonal. */
enum { AT_DIAGONAL = 125 };

/*
 * Tangents halfway between the bearings of an eighth of a turn, in 1/128: tan((at + 1/2) x 360 / 256 degrees) x 128. They are stored
 * as a binary search tree: the root has index 1; the children of index n have the indices 2n and 2n + 1.
 */
static const uint8_t halves[EIGHTH] PAGELOOM_FLASH = {
    0, 51, 24, 83, 11, 37, 66, 102, 5,  17, 30, 44, 59, 75, 93,  113,
    2, 8,  14, 21, 27, 34, 41, 48,  55, 62, 70, 79, 88, 97, 108, 119
};

/* Tangents of the bearings, in 1/128. */
static const uint8_t tangents[EIGHTH + 1] PAGELOOM_FLASH = {
    0,  3,  6,  9,  12, 15, 19, 22, 25, 28, 32, 35,  39,  42,  46,  49, 53,
    57, 60, 64, 68, 72, 77, 81, 85, 90, 95, 99, 105, 110, 116, 122, 128
};

/*
 * A beam's record starts with BEAM_RECORD bytes. Among them are its longest limit and the upper byte of the square of its length. It
 * has 16 limits, row by row.
 */
enum { RECORD_LONGEST = 3, RECORD_REACH_HIGH = 5, BEAM_RECORD = 6, LIMITS = 16 };

/* A beam must be shorter than 120 pixels. It is a fault if the upper byte of the square of its length is this large, or larger. */
enum { TOO_LONG = 0x38 };

/*
 * At 3 columns from the centre or more, a pixel of the line is at most 8 bearings off its direction: half a pixel is 20.4 / 3 bearings
 * there, and rounding adds one. The two ends of a cell are then less than half a turn apart.
 */
enum { OFF_CENTRE = 3, LINE_BEARINGS = 8 };

/* The largest product, for a pixel of the line, of half its bearings off the direction and its columns off the centre. */
enum { WIDEST_LINE = 12 };

/* The last row of a cell. */
enum { LAST_ROW = 0x80 };

static uint8_t distance(int8_t offset)
{
    return (uint8_t)(offset < 0 ? -offset : offset);
}

/* Returns the bearing of a place from the centre, clockwise from the top, in 1/256 of a turn. */
static APART uint8_t bearing(int8_t x, int8_t y)
{
    uint8_t across = distance(x), down = distance(y), ahead = down, aside = across, place = 1;
    uint16_t scaled;

    if (across > down) {
        ahead = across;
        aside = down;
    }
    scaled = (uint16_t)((uint16_t)aside << ONE_SHIFT);
    do {
        uint16_t half = (uint16_t)(ahead * PAGELOOM_READ(halves + place));

        place = (uint8_t)(place << 1);
        if (scaled >= half) {
            place++;
        }
    } while (place < EIGHTH);
    place &= EIGHTH - 1;
    if (place == EIGHTH - 1 && scaled >= (uint16_t)(ahead * AT_DIAGONAL)) {
        place++;
    }
    if (across > down) {
        place = (uint8_t)(QUARTER - place);
    }
    if (y > 0) {
        place = (uint8_t)(HALF_TURN - place);
    }
    if (x < 0) {
        place = (uint8_t)-place;
    }
    return place;
}

/* Returns whether a place is on the line from the centre in a direction. The place is `behind` bearings behind that direction. */
static APART uint8_t on_line(uint8_t direction, uint8_t behind, int8_t x, int8_t y)
{
    int8_t ahead = (int8_t)-y, right = x;
    int16_t passed;

    if ((uint16_t)((distance((int8_t)behind) >> 1) * distance(x)) > WIDEST_LINE) {
        return 0;
    }
    direction = (uint8_t)(direction + EIGHTH);
    while (direction >= QUARTER) { /* turn the view by a quarter to the right */
        y = ahead;
        ahead = right;
        right = (int8_t)-y;
        direction = (uint8_t)(direction - QUARTER);
    }
    if (ahead < 0) {
        return 0;
    }
    passed = (int16_t)((uint8_t)ahead * PAGELOOM_READ(tangents + distance((int8_t)(direction - EIGHTH))));
    if (direction < EIGHTH) {
        passed = (int16_t)-passed;
    }
    return (uint16_t)(right * (1 << ONE_SHIFT) - passed + HALF_PIXEL - 1) < 2 * HALF_PIXEL;
}

/*
 * Returns how many cells, from this one on, the beam certainly does not touch, computed from this cell alone: both its ends are far
 * from the beam, and the beam has not passed between them.
 */
static uint8_t far_cells(const pageloom_beam *beam, int8_t x, int8_t y, uint8_t longest)
{
    uint8_t off = distance(x), from = (uint8_t)(longest + beam->now - beam->last), first, last;

    if (off < OFF_CENTRE) {
        return 0;
    }
    first = (uint8_t)(beam->now - bearing(x, y));
    last = (uint8_t)(beam->now - bearing(x, (int8_t)(y + 7)));
    if (first > last) {
        uint8_t swapped = first;

        first = last;
        last = swapped;
    }
    if (first <= from || last >= 256 - LINE_BEARINGS || (uint8_t)(last - first) > HALF_TURN) {
        return 0;
    }
    first = (uint8_t)(first - from - 1);
    last = (uint8_t)(255 - LINE_BEARINGS - last);
    if (first > last) {
        first = last;
    }
    return (uint8_t)(1 + (uint8_t)((uint16_t)(first * (uint8_t)(off - OFF_CENTRE)) >> 7));
}

/* Returns the pixels of a cell that the beam lights, and in the upper byte those that it lit in the previous frame. */
static APART uint16_t beamed(pageloom_beam *beam, uint8_t column, uint8_t row)
{
    const uint8_t *record = beam->record;
    uint8_t at = column & 3, lit = 0, was = 0, longest;
    int8_t x, y;
    uint16_t rest, square;

    x = (int8_t)(column - PAGELOOM_NEXT(record));
    y = (int8_t)(row - PAGELOOM_NEXT(record));
    if (PAGELOOM_NEXT(record)) {
        x = (int8_t)-x;
    }
    longest = PAGELOOM_NEXT(record);
    rest = PAGELOOM_NEXT(record);
    rest |= (uint16_t)((uint16_t)PAGELOOM_NEXT(record) << 8);
    square = (uint16_t)(x * x);
    beam->far = square > rest ? 1 : far_cells(beam, x, y, longest);
    if (beam->far > 0) {
        return 0;
    }
    beam->near++;
    rest = (uint16_t)(rest - square);
    do {
        lit >>= 1;
        was >>= 1;
        if ((uint16_t)(y * y) <= rest) {
            uint8_t limit = PAGELOOM_READ(beam->limits + (at & 15)), place = bearing(x, y);
            uint8_t behind = (uint8_t)(beam->now - place), before = (uint8_t)(beam->last - place);

            if (behind < limit || on_line(beam->now, behind, x, y)) {
                lit |= LAST_ROW;
            }
            if (before < limit || on_line(beam->last, before, x, y)) {
                was |= LAST_ROW;
            }
        }
        y++;
        at = (uint8_t)(at + 4);
    } while (at < 32);
    return (uint16_t)((uint16_t)was << 8 | lit);
}
#endif
