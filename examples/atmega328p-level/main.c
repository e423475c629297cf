/*
 * main.c - a level that rises while a button is held and falls while it is not, on the display and on a lamp; and a cell gauge
 * from the converter. One loop does everything; the button is read in the interrupt of the clock.
 */
#include <avr/interrupt.h>
#include <avr/io.h>
#include "bus.h"
#include "tank.h"

enum { ALLOWANCE = 16, TIMER_DIVIDER = 64, MILLISECONDS_A_STEP = 12, BUTTON = PD2 };

static pageloom_player player;
static volatile uint16_t clock_ms;

/* Every millisecond: changes the level by a step. The player shows it with its next frame. */
ISR(TIMER1_COMPA_vect)
{
    static uint8_t wait;
    int16_t level = pageloom_get(&player, TANK_LIVE_LEVEL);

    clock_ms++;
    if (++wait == MILLISECONDS_A_STEP) {
        wait = 0;
        level = PIND & _BV(BUTTON) ? level - 1 : level + 1;
        pageloom_set(&player, TANK_LIVE_LEVEL, level);
        level = pageloom_get(&player, TANK_LIVE_LEVEL);
        /* The pulse width is the square of the level, because half of the light looks like about three quarters of it. */
        OCR0A = (uint8_t)((uint16_t)level * (uint16_t)level >> 8);
        TCCR0A = level > 0 ? _BV(COM0A1) | _BV(WGM01) | _BV(WGM00) : 0;
    }
}

static uint16_t now(void)
{
    uint16_t first, again;

    do { /* an interrupt may change the value between its two bytes */
        first = clock_ms;
        again = clock_ms;
    } while (first != again);
    return first;
}

/* Measures the cell in millivolts. The reference of the converter is the supply, and it measures the internal 1.1 V against it. */
static void watch_cell(void)
{
    if (!(ADCSRA & _BV(ADSC))) {
        if (ADC > 0) {
            pageloom_set(&player, TANK_LIVE_CELL, (int16_t)(1100UL * 1024 / ADC > 5500 ? 5500 : 1100UL * 1024 / ADC));
        }
        ADCSRA |= _BV(ADSC);
    }
}

int main(void)
{
    bus_begin();
    PORTD |= _BV(BUTTON); /* closes to ground */
    DDRD |= _BV(PD6);
    TCCR0B = _BV(CS01) | _BV(CS00);
    OCR1A = F_CPU / TIMER_DIVIDER / 1000 - 1;
    TCCR1B = _BV(WGM12) | _BV(CS11) | _BV(CS10);
    TIMSK1 = _BV(OCIE1A);
    ADMUX = _BV(REFS0) | _BV(MUX3) | _BV(MUX2) | _BV(MUX1);
    ADCSRA = _BV(ADEN) | _BV(ADPS2) | _BV(ADPS1) | _BV(ADPS0);
    pageloom_start(&player, tank_reel, TANK_REEL_SIZE);
    sei();
    for (;;) {
        if (pageloom_tick(&player, now(), ALLOWANCE) == PAGELOOM_FAULT) {
            pageloom_restart(&player); /* live values keep their values */
        }
        watch_cell();
    }
}
