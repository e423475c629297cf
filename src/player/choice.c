/* choice.c - reads decisions from a coded stream. Each is one binary symbol. A decision tree in flash gives its probability. */

/* Bytes of the longest node: feature, threshold, and a length of two bytes. */
enum { LONGEST_NODE = 4 };

/* The byte after the feature: below 0x40 it is two leaves; then the leaf for no; the leaf for yes; a length of 6 bits; one of 14. */
enum { LEAF_FOR_NO = 0x40, LEAF_FOR_YES = 0x60, SKIP = 0x80, LONG_SKIP = 0xC0 };
enum { IS_FOR_YES = 0x20, SINGLE_SHIFT = 2, LEAVES = 0x80 };

/* The group of features that compare a number with a threshold, and the shift of which number it is. */
enum { NUMBERS = 15, WHICH_SHIFT = 4 };

/* Probabilities are in 1/4096. */
enum { WHOLE = 0x1000 };

/* Follows a tree by the features in `now` and returns the leaf. A node in the last three bytes of the reel is read as zeros. */
static uint8_t leaf(const pageloom_picture *picture, const uint8_t *at, const uint8_t *now)
{
    const uint8_t *last = picture->last_node;
    uint8_t steps = 1, node, yes, next;

    do {
        if (at > last) {
            return PAGELOOM_READ(picture->leaves) & (LEAVES - 1);
        }
        node = PAGELOOM_NEXT(at);
        if ((node & NUMBERS) == NUMBERS) {
            yes = picture->numbers[node >> WHICH_SHIFT & 7] > PAGELOOM_NEXT(at);
        } else {
            yes = now[node & NUMBERS];
            if (node & 0x40) {
                yes >>= 4;
            }
            if (node & 0x20) {
                yes >>= 2;
            }
            if (node & 0x10) {
                yes >>= 1;
            }
            yes &= 1;
        }
        next = PAGELOOM_NEXT(at);
        if (next < LEAF_FOR_NO) {
            if (!yes) {
                next >>= 3;
            }
            return PAGELOOM_READ(picture->leaves + (next & 7)) & (LEAVES - 1);
        }
        if (next < SKIP) {
            if (yes) {
                next ^= IS_FOR_YES;
            }
            if (!(next & IS_FOR_YES)) {
                return (uint8_t)(next << SINGLE_SHIFT) & (LEAVES - 1);
            }
        } else if (next < LONG_SKIP) {
            if (yes) {
                at += (uint8_t)(next - SKIP);
            }
        } else {
            uint8_t low = PAGELOOM_NEXT(at);

            if (yes) {
                at += (uint16_t)((uint16_t)(next - LONG_SKIP) << 8 | low);
            }
        }
    } while (++steps != 0);
    return 0;
}

/* Moves the next byte of the stream into the state of the decoder. Bytes beyond the reel are 0. */
static APART void refill(pageloom_picture *picture)
{
    uint16_t at = picture->stream++;
    uint8_t byte = 0;

    if (at < (uint16_t)(picture->end - picture->reel)) {
        byte = PAGELOOM_READ(picture->reel + at);
    }
    picture->high = (uint8_t)(picture->low >> 8);
    picture->low = (uint16_t)(picture->low << 8 | byte);
}

/* Decodes one decision. The leaf of the tree holds the probability of the less likely answer as mantissa and exponent. */
static APART uint8_t choose(pageloom_picture *picture, uint8_t tree, const uint8_t *now)
{
    uint8_t likely = leaf(picture, picture->roots[tree], now), answer = 1;
    uint16_t yes = (uint16_t)((uint16_t)((8 + (likely & 7)) << 7) >> (likely >> 3 & 7));
    uint16_t part = picture->low & (WHOLE - 1);
    uint16_t whole = (uint16_t)((uint16_t)picture->high << 4 | picture->low >> 12);
    uint32_t state;

    if (likely & 0x40) {
        yes = (uint16_t)(WHOLE - yes);
    }
    if (part >= yes) {
        answer = 0;
        part = (uint16_t)(part - yes);
        yes = (uint16_t)(WHOLE - yes);
    }
    state = (uint32_t)yes * whole + part;
    picture->low = (uint16_t)state;
    picture->high = (uint8_t)(state >> 16);
    if (picture->high == 0) {
        refill(picture);
        if (picture->high == 0) {
            refill(picture);
        }
    }
    return answer;
}
