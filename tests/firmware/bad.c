/* bad.c - one good transaction, then the fault that is defined; tests/root/firmware/bad.rs requires that it is named. */
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/pgmspace.h>
#include <avr/sleep.h>
#include "bus.h"
#include "pageloom_player.h"

enum { ADDRESS = 0x3C, COMMANDS = 0x00, DISPLAY_OFF = 0xAE, DISPLAY_ON = 0xAF };

#ifdef LARGE
static const uint8_t ballast[20000] PROGMEM = { 1 }, more_ballast[20000] PROGMEM = { 2 };
#endif

static void send(uint8_t control, uint8_t command)
{
    pageloom_bus_start(ADDRESS);
    pageloom_bus_write(control);
    pageloom_bus_write(command);
    pageloom_bus_stop();
}

/* Begins an action of the I²C peripheral and waits for its end, whatever the display said. */
static void act(uint8_t control)
{
    TWCR = (uint8_t)(control | _BV(TWINT) | _BV(TWEN));
    while (!(TWCR & _BV(TWINT))) {
    }
}

static inline void raw_byte(uint8_t byte)
{
    TWDR = byte;
    act(0);
}

static void fault(void)
{
#if defined LARGE
    send(COMMANDS, pgm_read_byte(ballast + GPIOR0) + pgm_read_byte(more_ballast + GPIOR0));
#elif defined ENDLESS
    for (;;) {
        send(COMMANDS, DISPLAY_OFF);
    }
#elif defined NOWHERE
    ((void (*)(void))0x3F00)();
#elif defined CONTROL
    send(0x55, DISPLAY_OFF);
#elif defined AFTER_REFUSAL
    act(_BV(TWSTA));
    raw_byte((ADDRESS + 1) << 1);
    raw_byte(DISPLAY_OFF);
#elif defined TOO_LONG
    act(_BV(TWSTA));
    raw_byte(ADDRESS << 1);
    for (;;) {
        raw_byte(COMMANDS);
    }
#elif defined TWO_STARTS
    act(_BV(TWSTA));
    raw_byte(ADDRESS << 1);
    act(_BV(TWSTA));
    raw_byte(ADDRESS << 1);
#elif defined READING
    act(_BV(TWSTA));
    raw_byte(ADDRESS << 1 | 1);
#elif defined EMPTY
    act(_BV(TWSTA));
    raw_byte(ADDRESS << 1);
    TWCR = _BV(TWSTO) | _BV(TWINT) | _BV(TWEN);
#endif
}

int main(void)
{
    bus_begin();
    send(COMMANDS, DISPLAY_ON);
    while (TWCR & _BV(TWSTO)) {
    }
    fault();
    cli();
    sleep_enable();
    sleep_cpu();
    return 0;
}
