/* main.c - a lightship's chart table: the show on SPI, and a debounced button. Nothing in the loop waits. */
#include <avr/interrupt.h>
#include <avr/io.h>
#include <util/atomic.h>
#include "bus.h"
#include "lightship.h"

enum { ALLOWANCE = 64, TIMER_DIVIDER = 64, REFRESH_SECONDS = 10, LOOK_MILLISECONDS = 5, LOOKS = 4, BUTTON = _BV(PD2) };

static pageloom_player player;
static pageloom_supervisor supervisor;
static volatile uint16_t milliseconds;

ISR(TIMER1_COMPA_vect)
{
    milliseconds++;
}

static uint16_t clock_now(void)
{
    uint16_t now;

    ATOMIC_BLOCK(ATOMIC_RESTORESTATE)
    {
        now = milliseconds;
    }
    return now;
}

static void begin(void)
{
    bus_begin();
    PORTD |= BUTTON; /* pull-up */
    OCR1A = F_CPU / TIMER_DIVIDER / 1000 - 1;
    TCCR1B = _BV(WGM12) | _BV(CS11) | _BV(CS10);
    TIMSK1 = _BV(OCIE1A);
    pageloom_start(&player, lightship_reel, LIGHTSHIP_REEL_SIZE);
    pageloom_supervise_start(&supervisor, &player, lightship_display);
    supervisor.reset = bus_reset_display;
    supervisor.every = REFRESH_SECONDS;
    sei();
}

/* The button counts once per press, after four readings in a row found it closed. */
static void watch_button(uint16_t now)
{
    static uint16_t looked;
    static uint8_t same;

    if ((uint16_t)(now - looked) < LOOK_MILLISECONDS) {
        return;
    }
    looked = now;
    if (PIND & BUTTON) {
        same = 0;
    } else if (same < LOOKS && ++same == LOOKS) {
        pageloom_trigger(&player, LIGHTSHIP_TRIGGER_SQUALL);
    }
}

int main(void)
{
    begin();
    for (;;) {
        uint16_t now = clock_now();

        pageloom_supervise(&supervisor, now, ALLOWANCE);
        watch_button(now);
    }
}
