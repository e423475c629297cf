/*
 * film_canvas.c - the decisions that draw a frame of a film on a copy of the picture. Each is one binary symbol. The sum of one step
 * from each table of its class gives its probability. This is fast enough for an 8-bit microcontroller.
 */

/* The probability of a yes in 1/256, for each sum. A step is a tenth of a natural logarithm of the odds. Sums from 128 on are negative. */
static const uint8_t squash[256] PAGELOOM_FLASH = {
    128, 134, 141, 147, 153, 159, 165, 171, 177, 182, 187, 192, 197, 201, 205, 209,
    213, 216, 220, 223, 225, 228, 230, 233, 235, 237, 238, 240, 241, 243, 244, 245,
    246, 247, 248, 248, 249, 250, 250, 251, 251, 252, 252, 253, 253, 253, 253, 254,
    254, 254, 254, 254, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255,
    255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255,
    255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255,
    255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255,
    255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255,
    1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1,
    1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1,
    1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1,
    1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1,
    1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 2, 2, 2,
    2, 2, 3, 3, 3, 3, 4, 4, 5, 5, 6, 6, 7, 8, 8, 9,
    10, 11, 12, 13, 15, 16, 18, 19, 21, 23, 26, 28, 31, 33, 36, 40,
    43, 47, 51, 55, 59, 64, 69, 74, 79, 85, 91, 97, 103, 109, 115, 122,
};

/* The step of a table that a model leaves out. */
static const uint8_t no_step[1] PAGELOOM_FLASH = {0};

/* A table has at most 2 to the power of 8 entries. */
enum { WIDEST_TABLE = 8 };

/* The number of tables of each class of decisions: about eight cells, cells, and copies of the cell on the left; the rest: pixels. */
enum { EIGHT_TABLES = 1, CELL_TABLES = 5, COPY_TABLES = 3 };
/* The first table of each class. */
enum { EIGHT_TABLE = 0, CELL_TABLE = EIGHT_TABLE + EIGHT_TABLES, COPY_TABLE = CELL_TABLE + CELL_TABLES };
enum { PIXEL_TABLE = COPY_TABLE + COPY_TABLES };

/* Facts of a cell: the scene opens; how the cell on the left got its value. MAY_COPY is in the operand that opens a scene. */
enum { FILM_OPENS = 1, IS_COPIED = 2, IS_DRAWN_CELL = 4, MAY_COPY = 0x80 };

/* Decodes one decision; `sum` gives the probability of a yes. Bytes of the stream beyond the reel are 0. */
static INSIDE uint8_t decode(pageloom_decoder *decoder, const uint8_t *end, uint8_t sum)
{
    uint8_t yes = PAGELOOM_READ(squash + sum), low = decoder->low, answer = 1;
    uint16_t product;

    if (low >= yes) {
        answer = 0;
        low = (uint8_t)(low - yes);
        yes = (uint8_t)(0 - yes);
    }
    product = (uint16_t)((uint16_t)((uint16_t)decoder->middle * yes) + low);
    decoder->low = (uint8_t)product;
    product = (uint16_t)((uint16_t)((uint16_t)decoder->high * yes) + (uint16_t)(product >> 8));
    decoder->middle = (uint8_t)product;
    decoder->high = (uint8_t)(product >> 8);
    if (decoder->high == 0) {
        decoder->high = decoder->middle;
        decoder->middle = decoder->low;
        decoder->low = 0;
        if (decoder->stream < end) {
            decoder->low = PAGELOOM_NEXT(decoder->stream);
        }
    }
    return answer;
}

/* Returns the step of a table for a context. */
static INSIDE uint8_t step_of(const pageloom_table *table, uint8_t context)
{
    return PAGELOOM_READ(table->steps + (context & table->mask));
}

/* Decodes a decision with the film's own decoder. */
static APART uint8_t decide(pageloom_film *film, uint8_t sum)
{
    return decode(&film->decoder, film->end, sum);
}

/* Returns the rows of the column that is `away` columns to the right, from two rows above this page on. Outside it is dark. */
static APART uint16_t column_rows(const pageloom_film *film, int8_t away)
{
    const uint8_t *at = film->here + away;
    uint16_t all;

    if ((uint8_t)(film->column + away) >= PAGELOOM_COLUMNS) {
        return 0;
    }
    all = (uint16_t)(*at << 2);
    if (film->page > 0) {
        all |= at[-PAGELOOM_COLUMNS] >> 6;
    }
    if (film->page < PAGELOOM_PAGES - 1) {
        all |= (uint16_t)((uint16_t)at[PAGELOOM_COLUMNS] << 10);
    }
    return all;
}

/* Returns the cell that is `away` columns to the right in this page. Outside it is dark. */
static INSIDE uint8_t cell_near(const pageloom_film *film, int8_t away)
{
    uint8_t column = (uint8_t)(film->column + away);

    return column < PAGELOOM_COLUMNS ? film->here[away] : 0;
}

/* Adds, for each row of the cell, the steps of the two tables whose contexts do not depend on the new pixels of this cell. */
static APART void sum_rows(const pageloom_film *film, uint8_t *sums)
{
    const pageloom_table *tables = film->tables + PIXEL_TABLE;
    const uint8_t *second = tables[1].steps, *third = tables[2].steps;
    uint8_t second_mask = tables[1].mask, third_mask = tables[2].mask, count;
    uint8_t left = cell_near(film, -1), left_4 = cell_near(film, -4), right_2 = cell_near(film, 2);
    uint16_t here = column_rows(film, 0), right = (uint16_t)(column_rows(film, 1) << 2), left_2 = column_rows(film, -2);

    for (count = 8; count > 0; count--) {
        uint8_t before = (uint8_t)((uint8_t)here >> 1 & 7), aside = (uint8_t)left_2 & 0x1F;

        before = (uint8_t)(before | (uint8_t)(right & 0x38));
        if (right_2 & 1) {
            before |= 0x40;
        }
        if ((uint8_t)here & 0x10) {
            before |= 0x80;
        }
        if (left_4 & 1) {
            aside |= 0x20;
        }
        if (left & 1) {
            aside |= 0x40;
        }
        *sums++ = (uint8_t)(PAGELOOM_READ(second + (before & second_mask)) + PAGELOOM_READ(third + (aside & third_mask)));
        here >>= 1;
        right >>= 1;
        left_2 >>= 1;
        left >>= 1;
        left_4 >>= 1;
        right_2 >>= 1;
    }
}

/* Draws the current cell pixel by pixel. The decoder is copied, so that the compiler keeps it in registers. */
static APART uint8_t draw_pixels(pageloom_film *film, uint8_t likely)
{
    const pageloom_table *tables = film->tables + PIXEL_TABLE;
    const uint8_t *first = tables[0].steps, *fourth = tables[3].steps, *end = film->end;
    uint8_t first_mask = tables[0].mask, fourth_mask = tables[3].mask, old = *film->here;
    uint8_t sums[8], *sum = sums, fresh = 0, count, change = film->change, place = (uint8_t)(film->column << 6);
    uint16_t left = column_rows(film, -1);
    pageloom_decoder decoder;

    sum_rows(film, sums);
    decoder = film->decoder;
    if (film->page > 0) {
        fresh = film->here[-PAGELOOM_COLUMNS];
    }
    for (count = 8; count > 0; count--) {
        uint8_t around = (uint8_t)left & 0x0E, now = place, odds = *sum++;

        if (fresh & 0x80) {
            around |= 1;
        }
        if (old & 1) {
            around |= 0x10;
        }
        if (fresh & 0x40) {
            around |= 0x20;
        }
        if ((uint8_t)left & 1) {
            around |= 0x40;
        }
        if ((uint8_t)left & 0x10) {
            around |= 0x80;
        }
        if (likely & 1) {
            now |= 1;
        }
        if (change & 1) {
            now |= 4;
        }
        odds = (uint8_t)(odds + PAGELOOM_READ(first + (around & first_mask)));
        odds = (uint8_t)(odds + PAGELOOM_READ(fourth + (now & fourth_mask)));
        fresh >>= 1;
        if (decode(&decoder, end, odds)) {
            fresh |= 0x80;
            likely ^= 1;
        }
        if (likely & 1) {
            place |= 2;
        }
        left >>= 1;
        old >>= 1;
        likely >>= 1;
        change >>= 1;
        place = (uint8_t)(place + 8);
    }
    film->decoder = decoder;
    return fresh;
}

/* Begins eight cells, or those that are left in the page. Returns whether any of them changes. */
static APART uint8_t eight_changes(pageloom_film *film)
{
    uint8_t at = film->column >> 3, *eights = film->busy + at, bit = film->page_bit, facts = 0;

    film->above = film->changed[at];
    film->changed[at] = 0;
    if (*eights & bit) {
        facts |= 1;
    }
    if (film->change != 0) {
        facts |= 2;
    }
    if (at > 0 && (eights[-1] & bit)) {
        facts |= 4;
    }
    if (film->above != 0) {
        facts |= 8;
    }
    if (eights[1] & bit) {
        facts |= 0x10;
    }
    if (*eights & (uint8_t)(bit << 1)) {
        facts |= 0x20;
    }
    *eights |= bit;
    if (film->key || decide(film, step_of(film->tables + EIGHT_TABLE, facts))) {
        return 1;
    }
    *eights ^= bit;
    film->change = 0;
    film->history = 0;
    film->kind = 0;
    return 0;
}

/* Returns whether the current cell changes. */
static APART uint8_t cell_changes(pageloom_film *film, uint8_t old)
{
    const pageloom_table *tables = film->tables + CELL_TABLE;
    uint8_t left = old ^ cell_near(film, -1), right = old ^ cell_near(film, 1), halves = (uint8_t)(old << 4 | old >> 4) ^ old;
    uint8_t column = film->column, change = film->change, bit = film->bit, at = column >> 3;
    uint8_t first = 0, second = right & 0x20, third = 0, fourth = 0, fifth = film->key | film->kind, sum;

    if (left == 0) {
        first |= 1;
    }
    if (cell_near(film, -2) == old) {
        first |= 2;
    }
    if (right == 0) {
        first |= 4;
    }
    if (halves == 0) {
        first |= 8;
        second |= 0x40;
    }
    if (cell_near(film, -4) == old) {
        first |= 0x10;
        third |= 0x20;
    }
    if (old & 0x80) {
        first |= 0x20;
    }
    if (change & 0x3C) {
        first |= 0x40;
    }
    if (column & 0x40) {
        first |= 0x80;
    }
    sum = step_of(tables, first);
    if (film->changed[at] != 0) {
        second |= 1;
    }
    if (column & 4) {
        second |= 2;
    }
    if (column & 2) {
        second |= 4;
    }
    if (film->above & bit) {
        second |= 8;
    }
    if (left & 0x40) {
        second |= 0x10;
    }
    sum = (uint8_t)(sum + step_of(tables + 1, second));
    if (left == change) {
        third |= 1;
    }
    if (change & 0x81) {
        third |= 2;
    }
    if (left & 2) {
        third |= 4;
    }
    if (left & 0x20) {
        third |= 8;
    }
    if (film->page & 4) {
        third |= 0x10;
    }
    sum = (uint8_t)(sum + step_of(tables + 2, third));
    if (film->history & 2) {
        fourth |= 1;
    }
    if (bit == 0x80 ? film->changed[at + 1] & 1 : film->above & (uint8_t)(bit << 1)) {
        fourth |= 2;
    }
    if (old & 1) {
        fourth |= 4;
    }
    halves ^= halves >> 2;
    halves ^= halves >> 1;
    if (halves & 1) {
        fourth |= 8;
    }
    if (old & 0x20) {
        fourth |= 0x10;
    }
    if (left & 4) {
        fourth |= 0x20;
    }
    if (right & 2) {
        fourth |= 0x40;
    }
    sum = (uint8_t)(sum + step_of(tables + 3, fourth));
    if (old == 0) {
        fifth |= 8;
    }
    if (left == old) {
        fifth |= 0x10;
    }
    return decide(film, (uint8_t)(sum + step_of(tables + 4, fifth)));
}

/* Returns whether the current cell, which changes, becomes equal to the cell on its left. */
static uint8_t copies_left(pageloom_film *film, uint8_t old, uint8_t left)
{
    const pageloom_table *tables = film->tables + COPY_TABLE;
    uint8_t facts = film->kind, differs = old ^ left, sum;

    if (film->change != 0) {
        facts |= 1;
    }
    if (film->above & film->bit) {
        facts |= 8;
    }
    if (old == 0) {
        facts |= 0x10;
    }
    if (left == 0) {
        facts |= 0x20;
    }
    sum = (uint8_t)(step_of(tables, facts) + step_of(tables + 1, differs));
    return decide(film, (uint8_t)(sum + step_of(tables + 2, (uint8_t)(differs << 4 | differs >> 4))));
}
