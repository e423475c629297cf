/* clock.c - timer 1 counts milliseconds. */
#include <avr/interrupt.h>
#include <avr/io.h>
#include <util/atomic.h>
#include "clock.h"

enum { DIVIDER = 64 };

static volatile uint16_t milliseconds;

ISR(TIMER1_COMPA_vect)
{
    milliseconds++;
}

void clock_begin(void)
{
    OCR1A = F_CPU / DIVIDER / 1000 - 1;
    TCCR1B = _BV(WGM12) | _BV(CS11) | _BV(CS10);
    TIMSK1 = _BV(OCIE1A);
}

uint16_t clock_now(void)
{
    uint16_t now;

    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) /* the CPU reads the two bytes one after the other */
    {
        now = milliseconds;
    }
    return now;
}
