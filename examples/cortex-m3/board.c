/* board.c - the few registers of board.h: tick timer, serial port, lamps and buttons. */
#include "board.h"

#define REGISTER(address) (*(volatile uint32_t *)(address))

/* The core's tick timer (Armv7-M Architecture Reference Manual, B3.3). */
#define TICK_CONTROL REGISTER(0xE000E010u)
#define TICK_RELOAD REGISTER(0xE000E014u)
#define TICK_VALUE REGISTER(0xE000E018u)
enum { TICK_ON = 1, TICK_INTERRUPT = 2, TICK_CORE_CLOCK = 4 };

/* Serial port and board registers of the image (Arm DAI0385D; DDI0479 for the port). */
#define SERIAL_DATA REGISTER(0x40004000u)
#define SERIAL_STATE REGISTER(0x40004004u)
#define SERIAL_CONTROL REGISTER(0x40004008u)
#define SERIAL_DIVIDER REGISTER(0x40004010u)
#define LAMPS REGISTER(0x40028000u)
#define BUTTONS REGISTER(0x40028008u)
enum { SERIAL_FULL = 1, SERIAL_SENDS = 1 };

enum { CORE_HERTZ = 25000000, BAUD = 9600, NANOSECONDS_A_CYCLE = 1000000000 / CORE_HERTZ, CYCLES_A_TURN = 4 };

static volatile uint16_t milliseconds;

void tick_interrupt(void);

void tick_interrupt(void)
{
    milliseconds++;
}

void board_begin(void)
{
    TICK_RELOAD = CORE_HERTZ / 1000 - 1;
    TICK_VALUE = 0;
    TICK_CONTROL = TICK_ON | TICK_INTERRUPT | TICK_CORE_CLOCK;
    SERIAL_DIVIDER = CORE_HERTZ / BAUD;
    SERIAL_CONTROL = SERIAL_SENDS;
}

uint16_t board_now(void)
{
    return milliseconds; /* one load */
}

void board_wait_nanoseconds(uint32_t nanoseconds)
{
    volatile uint32_t turns = nanoseconds / (NANOSECONDS_A_CYCLE * CYCLES_A_TURN) + 1;

    while (turns > 0) {
        turns--;
    }
}

void board_lamps(uint32_t lit)
{
    LAMPS = lit;
}

uint32_t board_buttons(void)
{
    return BUTTONS;
}

uint8_t board_serial(uint8_t byte)
{
    if (SERIAL_STATE & SERIAL_FULL) {
        return 0;
    }
    SERIAL_DATA = byte;
    return 1;
}
