/*
 * bus.c - the display's bus on two pins of an ATtiny85, moved by hand. A pin pulls its line low as an output, and lets
 * it rise as an input; nothing ever drives a line high. Nothing here waits for ever.
 *
 * The times are UM10204 Rev 7.0 Table 11 for 400 kHz, with a tenth more, since the part's own oscillator may be a tenth
 * fast (its data sheet): clock low 1.3 us, high 0.6 us, start hold and set-up and stop set-up 0.6 us, free 1.3 us.
 */
#include <avr/io.h>
#include <util/delay.h>
#include "pageloom_player.h"
#include "bus.h"

enum { DATA = _BV(PB0), CLOCK = _BV(PB2), RECOVERY_CLOCKS = 9 };

/* Looks at a clock that the display holds: 255 of about ten cycles, 0.3 ms at 8 MHz. */
enum { PATIENCE = 255 };

#define LOW_MICROSECONDS 1.5
#define HIGH_MICROSECONDS 0.7

/* One instruction each, so that an interrupt between them does no harm. */
#define PULL(line) (DDRB |= (line))
#define FREE(line) (DDRB &= (uint8_t)~(line))

/* A transaction was given up while the display held the clock, so its STOP is still owed. */
static uint8_t stop_owed;

void bus_begin(void)
{
    PORTB &= (uint8_t)~(DATA | CLOCK);
    FREE(DATA);
    FREE(CLOCK);
}

/* Lets the clock rise and waits while the display holds it; whether it rose. Pasted in, since every bit passes here. */
__attribute__((always_inline)) static inline uint8_t clock_rises(void)
{
    uint8_t looks = PATIENCE;

    FREE(CLOCK);
    while (!(PINB & CLOCK)) {
        if (--looks == 0) {
            return 0;
        }
    }
    _delay_us(HIGH_MICROSECONDS);
    return 1;
}

__attribute__((always_inline)) static inline void clock_falls(void)
{
    PULL(CLOCK);
    _delay_us(LOW_MICROSECONDS / 3); /* the rest of it passes in the loop; the tests measure it */
}

/* Sends a byte; whether the display acknowledged it. */
static uint8_t send(uint8_t byte)
{
    uint8_t bits, taken;

    for (bits = 8; bits > 0; bits--) {
        if (byte & 0x80) {
            FREE(DATA);
        } else {
            PULL(DATA);
        }
        byte = (uint8_t)(byte << 1);
        if (!clock_rises()) {
            return 0;
        }
        clock_falls();
    }
    FREE(DATA);
    _delay_us(LOW_MICROSECONDS / 3);
    if (!clock_rises()) {
        return 0;
    }
    taken = !(PINB & DATA);
    clock_falls();
#ifdef PAGELOOM_UNACKNOWLEDGED
    taken = 1; /* a module that never acknowledges */
#endif
    return taken;
}

/* Clocks until a display that lost count lets go of the data line (UM10204 Rev 7.0 section 3.1.16). */
static void free_bus(void)
{
    uint8_t clocks;

    for (clocks = 0; clocks < RECOVERY_CLOCKS && !(PINB & DATA); clocks++) {
        PULL(CLOCK);
        _delay_us(LOW_MICROSECONDS);
        clock_rises();
    }
}

/* STOP: data rises while the clock is high; whether the clock could rise. */
static uint8_t stop(void)
{
    PULL(CLOCK);
    PULL(DATA);
    _delay_us(LOW_MICROSECONDS);
    stop_owed = !clock_rises();
    FREE(DATA);
    _delay_us(HIGH_MICROSECONDS);
    return !stop_owed && (PINB & DATA); /* a display that holds the data line has not understood */
}

uint8_t pageloom_bus_start(uint8_t address)
{
    FREE(DATA);
    if ((stop_owed && !stop()) || !clock_rises()) {
        return 0;
    }
    if (!(PINB & DATA)) {
        free_bus();
    }
    _delay_us(LOW_MICROSECONDS); /* the bus must have been free that long */
    PULL(DATA);
    _delay_us(HIGH_MICROSECONDS);
    clock_falls();
    return send((uint8_t)(address << 1));
}

uint8_t pageloom_bus_write(uint8_t byte)
{
    return send(byte);
}

uint8_t pageloom_bus_stop(void)
{
    return stop();
}
