/*
 * atmega328p.c - plays a show on the simulated part, on the bus of the example, and marks what happens.
 *
 * GPIOR0 is set to the scene whenever a frame is whole and stays, GPIOR1 to each cue, GPIOR2 to 255 at a fault and to
 * each trigger as it is raised: a rising edge on pin D2 raises trigger 0, on D3 trigger 1, on D4 trigger 2, in the
 * interrupt, wherever the player then is. Sleeps between frames, and for good after RUN_MILLISECONDS. With STEP_MILLISECONDS
 * time stands still during a call and jumps so far on when the player is idle, so that each call is alike on every machine.
 */
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/sleep.h>
#include <util/atomic.h>
#include "bus.h"
#include "helm.h"

#ifndef ALLOWANCE
#define ALLOWANCE 16
#endif

enum { TIMER_DIVIDER = 64, FAULTY = 255 };

static volatile uint16_t clock_ms;
static pageloom_player player;

ISR(TIMER1_COMPA_vect)
{
    clock_ms++;
}

ISR(INT0_vect)
{
    GPIOR2 = 0;
    pageloom_trigger(&player, 0);
}

ISR(INT1_vect)
{
    GPIOR2 = 1;
    pageloom_trigger(&player, 1);
}

ISR(PCINT2_vect)
{
    if (PIND & _BV(PD4)) {
        GPIOR2 = 2;
        pageloom_trigger(&player, 2);
    }
}

static uint16_t now(void)
{
    uint16_t copy;

    ATOMIC_BLOCK(ATOMIC_RESTORESTATE)
    {
        copy = clock_ms;
    }
    return copy;
}

static void begin(void)
{
    bus_begin();
#if defined BIT_RATE && !defined PAGELOOM_SPI
    TWBR = BIT_RATE;
#endif
#ifndef STEP_MILLISECONDS
    OCR1A = F_CPU / TIMER_DIVIDER / 1000 - 1;
    TCCR1B = _BV(WGM12) | _BV(CS11) | _BV(CS10);
    TIMSK1 = _BV(OCIE1A);
#endif
    EICRA = _BV(ISC01) | _BV(ISC00) | _BV(ISC11) | _BV(ISC10);
    EIMSK = _BV(INT0) | _BV(INT1);
    PCICR = _BV(PCIE2);
    PCMSK2 = _BV(PCINT20);
    set_sleep_mode(SLEEP_MODE_IDLE);
    sleep_enable();
    pageloom_start(&player, helm_reel, HELM_REEL_SIZE);
    sei();
}

/* One call of the player, and its marks. */
static void play(void)
{
    static uint16_t due;
    uint8_t status = pageloom_tick(&player, now(), ALLOWANCE);

    if (status == PAGELOOM_IDLE) {
        if (player.due != due) {
            due = player.due;
            GPIOR0 = player.scene;
        }
#ifdef STEP_MILLISECONDS
        clock_ms += STEP_MILLISECONDS;
#else
        sleep_cpu(); /* until the clock ticks or a trigger is raised */
#endif
    } else if (status == PAGELOOM_CUE) {
        GPIOR1 = player.cue;
    } else if (status == PAGELOOM_FAULT) {
        GPIOR2 = FAULTY;
        pageloom_restart(&player);
    }
}

int main(void)
{
    begin();
    while (now() < RUN_MILLISECONDS) {
        play();
    }
    cli();
    sleep_cpu();
    return 0;
}
