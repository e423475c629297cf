/*
 * bus.c - the display's bus on two lines driven in software. Every wait has a time limit. If your microcontroller has an I²C
 * peripheral, write the same three functions for it as in examples/atmega328p/bus.c.
 *
 * Times: UM10204 Rev 7.0 Table 11 for 400 kHz.
 */
#include "board.h"
#include "bus.h"
#include "pageloom_player.h"

enum { LOW_NANOSECONDS = 1300, HIGH_NANOSECONDS = 600, PATIENCE = 1000, RECOVERY_CLOCKS = 9 };

/* Set if a transaction ended without STOP, because the display held the clock line low. The STOP is sent later. */
static uint8_t stop_owed;

void bus_begin(void)
{
    BUS_FREE = CLOCK | DATA;
}

/* Lets the clock rise and waits while the display holds it. Returns whether it rose. */
static uint8_t clock_rises(void)
{
    uint32_t looks = PATIENCE;

    BUS_FREE = CLOCK;
    while (!(BUS_LEVELS & CLOCK)) {
        if (--looks == 0) {
            return 0;
        }
    }
    board_wait_nanoseconds(HIGH_NANOSECONDS);
    return 1;
}

static void clock_falls(void)
{
    BUS_PULL = CLOCK;
    board_wait_nanoseconds(LOW_NANOSECONDS);
}

/* Sends a byte. Returns whether the display acknowledged it. */
static uint8_t send(uint8_t byte)
{
    uint8_t bits, taken;

    for (bits = 8; bits > 0; bits--) {
        if (byte & 0x80) {
            BUS_FREE = DATA;
        } else {
            BUS_PULL = DATA;
        }
        byte = (uint8_t)(byte << 1);
        if (!clock_rises()) {
            return 0;
        }
        clock_falls();
    }
    BUS_FREE = DATA;
    if (!clock_rises()) {
        return 0;
    }
    taken = !(BUS_LEVELS & DATA);
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

    for (clocks = 0; clocks < RECOVERY_CLOCKS && !(BUS_LEVELS & DATA); clocks++) {
        clock_falls();
        clock_rises();
    }
}

/* Sends STOP: data rises while the clock is high. Returns whether the clock line rose. */
static uint8_t stop(void)
{
    BUS_PULL = CLOCK;
    BUS_PULL = DATA;
    board_wait_nanoseconds(LOW_NANOSECONDS);
    stop_owed = !clock_rises();
    BUS_FREE = DATA;
    board_wait_nanoseconds(HIGH_NANOSECONDS);
    return !stop_owed && (BUS_LEVELS & DATA) != 0; /* a display that still holds the data line has missed a clock */
}

uint8_t pageloom_bus_start(uint8_t address)
{
    BUS_FREE = DATA;
    if ((stop_owed && !stop()) || !clock_rises()) {
        return 0;
    }
    if (!(BUS_LEVELS & DATA)) {
        free_bus();
    }
    board_wait_nanoseconds(LOW_NANOSECONDS); /* the bus must be free for this time */
    BUS_PULL = DATA;
    board_wait_nanoseconds(HIGH_NANOSECONDS);
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
