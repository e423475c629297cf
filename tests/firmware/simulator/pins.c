/*
 * pins.c - a bus of two open-drain port pins, followed after every instruction: a line is low when the firmware or the
 * display pulls it down. Decodes it for the device and keeps the shortest of each time that UM10204 Rev 7.0 Table 11
 * sets a minimum for.
 */
#include <stdio.h>
#include "simulator.h"

/* The shortest seen, in CPU cycles. */
struct times {
    uint64_t start_hold, low, high, start_set_up, data_set_up, stop_set_up, free, period;
};
#define NEVER UINT64_MAX
static struct times shortest = { NEVER, NEVER, NEVER, NEVER, NEVER, NEVER, NEVER, NEVER };

static struct { uint16_t pin, direction, port; uint8_t data, clock; } wired; /* register addresses and bit numbers */
static int data_level = 1, clock_level = 1, display_pulls;
static uint64_t data_changed, clock_rose, clock_fell, stopped, started, held_until;
static uint32_t stuck_clocks; /* a display that lost count holds the data line until it has seen so many more */
static int clocks_in_byte; /* -1 outside a transaction */
static uint8_t shifting;
static int address_next;

/* "B0,B2@36": data and clock pin, and where the PIN register is in data space; DDR and PORT follow it. */
int pins_option(const char *text)
{
    unsigned data, clock, pin;
    char one, two;

    if (sscanf(text, "%c%u,%c%u@%x", &one, &data, &two, &clock, &pin) != 5 || one != two) {
        return 0;
    }
    wired.pin = (uint16_t)pin;
    wired.direction = (uint16_t)(pin + 1);
    wired.port = (uint16_t)(pin + 2);
    wired.data = (uint8_t)data;
    wired.clock = (uint8_t)clock;
    clocks_in_byte = -1;
    return 1;
}

static void keep(uint64_t *least, uint64_t from)
{
    uint64_t cycles = sim.avr->cycle - from;

    if (from != 0 && cycles < *least) {
        *least = cycles;
    }
}

static int pulled_by_firmware(uint8_t bit)
{
    uint8_t mask = (uint8_t)(1 << bit);

    if (!(sim.avr->data[wired.direction] & mask)) {
        return 0;
    }
    if (sim.avr->data[wired.port] & mask) {
        stop_run(MALFORMED, "MALFORMED: pin %u drives the bus high, which is open-drain", bit);
    }
    return 1;
}

static void on_clock_rise(void)
{
    keep(&shortest.low, clock_fell);
    keep(&shortest.data_set_up, data_changed);
    if (clocks_in_byte == 0) {
        keep(&shortest.period, 0);
    } else if (clocks_in_byte > 0) {
        keep(&shortest.period, clock_rose);
    }
    clock_rose = sim.avr->cycle;
    if (clocks_in_byte >= 0 && clocks_in_byte < 8) {
        shifting = (uint8_t)(shifting << 1 | data_level);
    }
}

static void on_clock_fall(void)
{
    keep(&shortest.high, clock_rose);
    if (stuck_clocks > 0) { /* meanwhile it understands nothing */
        clock_fell = sim.avr->cycle;
        if (--stuck_clocks == 0) {
            clocks_in_byte = -1;
            device_abandoned();
        }
        return;
    }
    if (started != 0) {
        keep(&shortest.start_hold, started);
        started = 0;
        clocks_in_byte = 0;
        clock_fell = sim.avr->cycle;
        return;
    }
    clock_fell = sim.avr->cycle;
    if (clocks_in_byte < 0) {
        return;
    }
    clocks_in_byte++;
    if (clocks_in_byte == 8) {
        display_pulls = address_next ? device_start(shifting) : device_byte(shifting);
        address_next = 0;
    } else if (clocks_in_byte == 9) {
        display_pulls = 0;
        stuck_clocks = sticks(sim.bytes);
        clocks_in_byte = 0;
        held_until = device_stretch() > 0 ? sim.avr->cycle + device_stretch() : 0;
    }
}

/* Data may change only while the clock is low; otherwise it is START or STOP. */
static void on_data(int level)
{
    if (!clock_level) {
        data_changed = sim.avr->cycle;
        return;
    }
    if (!level) {
        keep(&shortest.free, stopped);
        if (clocks_in_byte >= 0) {
            keep(&shortest.start_set_up, clock_rose);
        }
        started = sim.avr->cycle;
        address_next = 1;
        return;
    }
    if (clocks_in_byte > 1) {
        stop_run(MALFORMED, "MALFORMED: STOP in the middle of a byte");
    }
    keep(&shortest.stop_set_up, clock_rose);
    stopped = sim.avr->cycle;
    clocks_in_byte = -1;
    if (device_is_open()) {
        device_stop();
    }
}

static void set_input(uint8_t bit, int level)
{
    uint8_t mask = (uint8_t)(1 << bit), *pin = &sim.avr->data[wired.pin];

    *pin = (uint8_t)(level ? *pin | mask : *pin & ~mask);
}

void pins_follow(void)
{
    int data, clock;

    if (wired.pin == 0) {
        return;
    }
    clock = !pulled_by_firmware(wired.clock) && sim.avr->cycle >= held_until;
    data = !pulled_by_firmware(wired.data) && !display_pulls && stuck_clocks == 0;
    if (!clock && clock_level) {
        clock_level = 0;
        on_clock_fall();
        data = !pulled_by_firmware(wired.data) && !display_pulls && stuck_clocks == 0;
    }
    if (data != data_level) {
        on_data(data);
        data_level = data;
    }
    if (clock && !clock_level) {
        clock_level = 1;
        on_clock_rise();
    }
    set_input(wired.data, data_level);
    set_input(wired.clock, clock_level);
}

static void row(const char *name, uint64_t cycles)
{
    if (cycles != NEVER) {
        printf(" %s=%" PRIu64, name, cycles);
    }
}

void pins_summary(void)
{
    if (wired.pin == 0) {
        return;
    }
    printf("WAVE");
    row("tHD;STA", shortest.start_hold);
    row("tLOW", shortest.low);
    row("tHIGH", shortest.high);
    row("tSU;STA", shortest.start_set_up);
    row("tSU;DAT", shortest.data_set_up);
    row("tSU;STO", shortest.stop_set_up);
    row("tBUF", shortest.free);
    row("period", shortest.period);
    printf("\n");
}
