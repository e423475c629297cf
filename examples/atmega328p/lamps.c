/* lamps.c - pulse widths of timer 0 on pins D5 and D6; the second lamp follows the first a little later. */
#include <avr/io.h>
#include "lamps.h"

enum { STEP_MILLISECONDS = 8, LAG = 64 };

static uint8_t target, level, second;

void lamps_begin(void)
{
    DDRD |= _BV(PD5) | _BV(PD6);
    TCCR0B = _BV(CS01) | _BV(CS00); /* 16 MHz / 64 / 256: 977 Hz, too fast to be seen as flicker */
}

void lamps_fade_to(uint8_t wanted)
{
    target = wanted;
}

/* The pulse width is the square of the level, because half of the light looks like about three quarters of it. At 0 the timer
 * would still make a pulse of one count, so it is disconnected from the pin. */
static void set(volatile uint8_t *width, uint8_t output, uint8_t to)
{
    if (to == 0) {
        TCCR0A &= (uint8_t)~output;
        return;
    }
    *width = (uint8_t)((uint16_t)to * to >> 8);
    TCCR0A |= (uint8_t)(output | _BV(WGM01) | _BV(WGM00));
}

static uint8_t nearer(uint8_t from, uint8_t to)
{
    return from < to ? from + 1 : from > to ? from - 1 : from;
}

void lamps_turn(uint16_t now)
{
    static uint16_t stepped;

    if ((uint16_t)(now - stepped) < STEP_MILLISECONDS) {
        return;
    }
    stepped = now;
    level = nearer(level, target);
    if (level == target || level > second + LAG || level + LAG < second) {
        second = nearer(second, target);
    }
    set(&OCR0A, _BV(COM0A1), level);
    set(&OCR0B, _BV(COM0B1), second);
}
