/* grain.c - noise, for areas: grains are computed from a seed, not stored. */

#ifdef PAGELOOM_GRAINS
#define FIRST_FACTOR 0x426Bu
#define SECOND_FACTOR 0x5387u

/* Cells of noise that use up one byte of the allowance. */
enum { NOISE_CELLS_A_BYTE = 4 };

#define IS_NOISE(kind) (!((kind) & (ACROSS | DOWN | PICTURES)))

/* Hashes the place of a pixel, evenly over places and seeds. */
static uint8_t hash(uint16_t seed, uint16_t place)
{
    place = (uint16_t)((uint16_t)(place ^ seed) * FIRST_FACTOR);
    place ^= place >> 8;
    return (uint8_t)((uint16_t)((uint16_t)(place + seed) * SECOND_FACTOR) >> 8);
}

/*
 * Draws noise on the cells of a span. The area has no table of rows. Instead it has four words: the seed, the place of the first pixel
 * of the area's first page, and how far apart the places of neighbouring rows and columns are. The upper byte of the phase is the
 * density of ink in 1/128, the lower byte is the number of the picture.
 */
static void lay_noise(pageloom_player *player, const pageloom_span *span, uint16_t phase, uint8_t *cells)
{
    uint8_t count = span->count, density = (uint8_t)(phase >> 8);
    uint16_t seed, place, by_row, by_column;

    player->at = (uint16_t)(span->table[0] | (uint16_t)span->table[1] << 8);
    seed = (uint16_t)(next_word(player) + (uint16_t)((phase & 0xFF) * SECOND_FACTOR));
    place = next_word(player);
    by_row = next_word(player);
    by_column = next_word(player);
    player->owed = (uint8_t)(player->owed + count / NOISE_CELLS_A_BYTE);
    place = (uint16_t)(place + (uint16_t)(by_row * (uint16_t)(span->page * 8u)) + (uint16_t)(by_column * span->column));
    do {
        uint16_t pixel = place;
        uint8_t ink = 0, bit = 1;

        do {
            if (hash(seed, pixel) >> 1 < density) {
                ink |= bit;
            }
            pixel = (uint16_t)(pixel + by_row);
            bit = (uint8_t)(bit << 1);
        } while (bit != 0);
        lay(span, ink, cells);
        cells++;
        place = (uint16_t)(place + by_column);
    } while (--count > 0);
}
#endif
