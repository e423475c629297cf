/*
 * bus.c - the display on the SPI peripheral of an ATmega328P, at half the CPU clock. For a show with `data_command: Bit`, the CPU drives
 * the pins instead, because the peripheral cannot send words of nine bits. Every wait has a time limit.
 */
#include <avr/io.h>
#include <util/delay.h>
#include "bus.h"
#include "pageloom_player.h"

/* All pins are on port B. The peripheral stays master only while its own select pin is an output. Here it selects the display. */
enum { RESET = _BV(PB0), DATA_COMMAND = _BV(PB1), SELECT = _BV(PB2), DATA = _BV(PB3), CLOCK = _BV(PB5) };

#define RESET_MICROSECONDS 10

/* CPU cycles of one clock: 2, 4 or 16. */
#ifndef SPI_DIVIDER
#define SPI_DIVIDER 2
#endif

void bus_begin(void)
{
    PORTB |= RESET | SELECT;
    DDRB |= RESET | DATA_COMMAND | SELECT | DATA | CLOCK;
#ifndef PAGELOOM_NINE_BITS
    /* Mode 0, the highest bit first: the display takes each bit as the clock rises. */
    SPCR = _BV(SPE) | _BV(MSTR) | (SPI_DIVIDER == 16 ? _BV(SPR0) : 0);
    SPSR = SPI_DIVIDER == 2 ? _BV(SPI2X) : 0;
    SPDR = 0; /* sent with no display selected, so that there is always a previous byte to wait for */
#endif
}

void bus_reset_display(void)
{
    PORTB &= (uint8_t)~RESET;
    _delay_us(RESET_MICROSECONDS);
    PORTB |= RESET;
    _delay_us(RESET_MICROSECONDS);
}

#ifdef PAGELOOM_NINE_BITS
static uint8_t data_command;

/* Eight or nine cycles; the display takes the bit as the clock rises. */
#define SEND_BIT(high)                \
    do {                              \
        PORTB &= (uint8_t)~DATA;      \
        if (high) {                   \
            PORTB |= DATA;            \
        }                             \
        PORTB |= CLOCK;               \
        PORTB &= (uint8_t)~CLOCK;     \
    } while (0)

uint8_t pageloom_bus_select(uint8_t data)
{
    data_command = data;
    PORTB &= (uint8_t)~SELECT;
    return 1;
}

/* D/C, then the byte, its highest bit first. */
uint8_t pageloom_bus_write(uint8_t byte)
{
    SEND_BIT(data_command);
    SEND_BIT(byte & 0x80);
    SEND_BIT(byte & 0x40);
    SEND_BIT(byte & 0x20);
    SEND_BIT(byte & 0x10);
    SEND_BIT(byte & 0x08);
    SEND_BIT(byte & 0x04);
    SEND_BIT(byte & 0x02);
    SEND_BIT(byte & 0x01);
    return 1;
}

uint8_t pageloom_bus_stop(void)
{
    PORTB |= SELECT;
    return 1;
}
#else
/* Waits until the last byte is sent. Inlined for speed, because every byte needs it. */
__attribute__((always_inline)) static inline void wait_for_byte(void)
{
    while (!(SPSR & _BV(SPIF))) { /* at most 8 clocks, because the peripheral does not depend on the display */
    }
}

uint8_t pageloom_bus_select(uint8_t data)
{
    if (data) {
        PORTB |= DATA_COMMAND;
    } else {
        PORTB &= (uint8_t)~DATA_COMMAND;
    }
    PORTB &= (uint8_t)~SELECT;
    return 1;
}

/* Starts to send a byte and returns. The player computes the next byte meanwhile. */
uint8_t pageloom_bus_write(uint8_t byte)
{
    wait_for_byte();
    SPDR = byte;
    return 1;
}

uint8_t pageloom_bus_stop(void)
{
    wait_for_byte();
    PORTB |= SELECT;
    return 1;
}
#endif
