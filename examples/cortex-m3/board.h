/*
 * board.h - all that this example knows of the board; replace it and board.c by your own.
 *
 * Written for the FPGA image that QEMU emulates as the machine mps2-an385: a two-line serial interface whose lines the
 * firmware moves, a serial port, a register of lamps, a register of buttons, and the core's own tick timer.
 */
#ifndef BOARD_H
#define BOARD_H

#include <stdint.h>

/* The two lines of the display's bus: a 1 lets a line rise, a 0 pulls it down (Arm DAI0385D, second shield). */
#define BUS_REGISTER(offset) (*(volatile uint32_t *)(0x4002A000u + (offset)))
#define BUS_LEVELS BUS_REGISTER(0) /* read: bit 0 clock, bit 1 data */
#define BUS_FREE BUS_REGISTER(0)   /* write: ones let lines rise */
#define BUS_PULL BUS_REGISTER(4)   /* write: ones pull lines down */
enum { CLOCK = 1, DATA = 2 };

void board_begin(void);

/* Milliseconds since the start; they wrap, as the player allows. */
uint16_t board_now(void);

/* Waits at least that long; for the bus only. */
void board_wait_nanoseconds(uint32_t nanoseconds);

/* Two lamps, bits 0 and 1. */
void board_lamps(uint32_t lit);

/* Buttons, bit 0 the first; 1 is pressed. */
uint32_t board_buttons(void);

/* Sends a byte to the sound module if the port is free; whether it was. */
uint8_t board_serial(uint8_t byte);

#endif
