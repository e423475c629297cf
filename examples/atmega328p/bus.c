/* bus.c - the display's bus on the I²C peripheral of an ATmega328P, at 400 kHz. Every wait has a time limit. */
#include <avr/io.h>
#include <util/delay.h>
#include "bus.h"
#include "pageloom_player.h"

enum { BUS_HERTZ = 400000UL, DATA_PIN = PC4, CLOCK_PIN = PC5, RECOVERY_CLOCKS = 9 };

/* Status codes from the chapter on the two-wire interface in the data sheet. */
enum { STARTED = 0x08, ADDRESS_TAKEN = 0x18, BYTE_TAKEN = 0x28 };

/* The longest wait in passes of a loop of about eight cycles: 2 ms at 16 MHz, which is ninety times the time of a byte. */
enum { PATIENCE = 4000 };

/* Set if an action did not end in time. The next transaction frees the bus first. */
static uint8_t stuck;

void bus_begin(void)
{
    /* SCL = F_CPU / (16 + 2 x TWBR), rounded up, so that the bus is never faster than BUS_HERTZ. */
    TWBR = (uint8_t)((F_CPU / BUS_HERTZ - 16 + 1) / 2);
    TWSR = 0;
    TWCR = _BV(TWEN);
}

static void begin_action(uint8_t control)
{
    TWCR = (uint8_t)(control | _BV(TWINT) | _BV(TWEN));
}

/* Waits for the last action. Returns whether it ended in time. Inlined for speed, because every byte needs it. */
__attribute__((always_inline)) static inline uint8_t ended(void)
{
    uint16_t turns = PATIENCE;

    while (!(TWCR & _BV(TWINT))) {
        if (--turns == 0) {
            TWCR = 0; /* releases both lines */
            stuck = 1;
            return 0;
        }
    }
    return 1;
}

/* Returns whether the last address or byte was acknowledged. */
__attribute__((always_inline)) static inline uint8_t taken(void)
{
    uint8_t status;

    if (!ended()) {
        return 0;
    }
#ifdef PAGELOOM_UNACKNOWLEDGED
    (void)status; /* a module that never acknowledges */
    return 1;
#else
    status = TWSR & 0xF8;
    return status == BYTE_TAKEN || status == ADDRESS_TAKEN;
#endif
}

/*
 * Frees the bus if a display that missed a clock still holds the data line: sends clocks until it releases the line, then STOP
 * (UM10204 Rev 7.0 section 3.1.16). A line is pulled low by making its pin an output.
 */
static void clear_bus(void)
{
    uint8_t clocks;

    TWCR = 0;
    PORTC &= (uint8_t)~(_BV(DATA_PIN) | _BV(CLOCK_PIN));
    for (clocks = 0; clocks < RECOVERY_CLOCKS; clocks++) {
        DDRC |= _BV(CLOCK_PIN);
        _delay_us(5);
        DDRC &= (uint8_t)~_BV(CLOCK_PIN);
        _delay_us(5);
    }
    DDRC |= _BV(CLOCK_PIN);
    DDRC |= _BV(DATA_PIN);
    _delay_us(5);
    DDRC &= (uint8_t)~_BV(CLOCK_PIN);
    _delay_us(5);
    DDRC &= (uint8_t)~_BV(DATA_PIN);
    _delay_us(5);
    stuck = 0;
    bus_begin();
}

uint8_t pageloom_bus_start(uint8_t address)
{
    uint8_t turns = 255;

    if (stuck) {
        clear_bus();
    }
    while ((TWCR & _BV(TWSTO)) && --turns > 0) { /* the previous STOP is still being sent */
    }
    begin_action(_BV(TWSTA));
    if (!ended() || (TWSR & 0xF8) != STARTED) {
        return 0;
    }
    TWDR = (uint8_t)(address << 1);
    begin_action(0);
    return 1;
}

/* Starts to send a byte and returns. The player computes the next byte meanwhile; the next call checks the acknowledge. */
uint8_t pageloom_bus_write(uint8_t byte)
{
    if (!taken()) {
        return 0;
    }
    TWDR = byte;
    begin_action(0);
    return 1;
}

uint8_t pageloom_bus_stop(void)
{
    uint8_t good;

    if (stuck) {
        return 0; /* the peripheral is off */
    }
    good = taken();
    if (!stuck) {
        begin_action(_BV(TWSTO));
    }
    return good;
}
