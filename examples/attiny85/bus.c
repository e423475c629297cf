/*
 * bus.c - the display's bus on two pins of an ATtiny85, driven in software. As an output a pin pulls its line low; as an input it
 * lets the line rise. Nothing drives a line high. Every wait has a time limit.
 *
 * The times are those of UM10204 Rev 7.0 Table 11 for 400 kHz: clock low 1.3 us, high 0.6 us, start hold, start set-up and stop
 * set-up 0.6 us, bus free 1.3 us. All are a tenth longer, because the internal oscillator can be a tenth too fast (data sheet).
 */
#include <avr/io.h>
#include <util/delay.h>
#include "pageloom_player.h"
#include "bus.h"

enum { DATA = _BV(PB0), CLOCK = _BV(PB2), RECOVERY_CLOCKS = 9 };

/* The longest wait for a clock line that the display holds low: 255 readings of about ten cycles, 0.3 ms at 8 MHz. */
enum { PATIENCE = 255 };

#define LOW_MICROSECONDS 1.5
#define HIGH_MICROSECONDS 0.7

/* Each is one instruction, so that an interrupt cannot come in between. */
#define PULL(line) (DDRB |= (line))
#define FREE(line) (DDRB &= (uint8_t)~(line))

/* Set if a transaction ended without STOP, because the display held the clock line low. The STOP is sent later. */
static uint8_t stop_owed;

void bus_begin(void)
{
    PORTB &= (uint8_t)~(DATA | CLOCK);
    FREE(DATA);
    FREE(CLOCK);
}

/* Lets the clock rise and waits while the display holds it. Returns whether it rose. Inlined for speed, because every bit needs it. */
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
    _delay_us(LOW_MICROSECONDS / 3); /* the loop takes the rest of the time; the tests measure it */
}

/* Sends a byte. Returns whether the display acknowledged it. */
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

/* Sends clocks until a display that missed one releases the data line (UM10204 Rev 7.0 section 3.1.16). */
static void free_bus(void)
{
    uint8_t clocks;

    for (clocks = 0; clocks < RECOVERY_CLOCKS && !(PINB & DATA); clocks++) {
        PULL(CLOCK);
        _delay_us(LOW_MICROSECONDS);
        clock_rises();
    }
}

/* Sends STOP: data rises while the clock is high. Returns whether the clock line rose. */
static uint8_t stop(void)
{
    PULL(CLOCK);
    PULL(DATA);
    _delay_us(LOW_MICROSECONDS);
    stop_owed = !clock_rises();
    FREE(DATA);
    _delay_us(HIGH_MICROSECONDS);
    return !stop_owed && (PINB & DATA); /* a display that still holds the data line has missed a clock */
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
    _delay_us(LOW_MICROSECONDS); /* the bus must be free for this time */
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
