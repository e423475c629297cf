/*
 * main.c - two displays on one bus, at 3C and 3D. A switch chooses which of two shows the left one plays; a button raises the
 * right one's trigger from the clock's interrupt. Nothing in the loop waits.
 */
#include <avr/interrupt.h>
#include <avr/io.h>
#include "bus.h"
#include "depth.h"
#include "engine.h"
#include "range.h"

/* Bytes on the bus for each display in one pass of the loop. */
enum { BYTE_BUDGET = 16, REFRESH_SECONDS = 10, TIMER_DIVIDER = 64 };
enum { LOOK_MILLISECONDS = 5, LOOKS = 4, BUTTON = _BV(PD2), SWITCH = _BV(PD3) };

/* A show that a display can play. */
struct show {
    const uint8_t *reel;
    uint16_t size;
    const uint8_t *display;
};

static const struct show shows[] = {
    { depth_reel, DEPTH_REEL_SIZE, depth_display },
    { range_reel, RANGE_REEL_SIZE, range_display },
};

static pageloom_player left, right;
static pageloom_supervisor left_supervisor, right_supervisor;
static volatile uint16_t milliseconds;

/* Every millisecond: counts the clock and reads the button. It counts after four readings in a row found it closed. */
ISR(TIMER0_COMPA_vect)
{
    static uint8_t until_look, same;

    milliseconds++;
    if (++until_look < LOOK_MILLISECONDS) {
        return;
    }
    until_look = 0;
    if (PIND & BUTTON) {
        same = 0;
    } else if (same < LOOKS && ++same == LOOKS) {
        pageloom_trigger(&right, ENGINE_TRIGGER_POWER); /* all triggers of this player are raised in this interrupt */
    }
}

static uint16_t clock_now(void)
{
    uint16_t now;

    cli();
    now = milliseconds;
    sei();
    return now;
}

/* Plays a show from its start on a display. The display stays dark until its memory is written, so that the previous show is never
 * seen. */
static void begin_show(pageloom_player *player, pageloom_supervisor *supervisor, const struct show *show)
{
    pageloom_start(player, show->reel, show->size);
    pageloom_supervise_start(supervisor, player, show->display);
    supervisor->every = REFRESH_SECONDS;
}

/* Changes the show of the left display with the switch. */
static void follow_switch(void)
{
    static uint8_t playing;
    uint8_t wanted = PIND & SWITCH ? 0 : 1;

    if (wanted != playing) {
        playing = wanted;
        begin_show(&left, &left_supervisor, &shows[playing]);
    }
}

int main(void)
{
    static const struct show engine = { engine_reel, ENGINE_REEL_SIZE, engine_display };

    bus_begin();
    PORTD |= BUTTON | SWITCH; /* pull-ups */
    OCR0A = F_CPU / TIMER_DIVIDER / 1000 - 1;
    TCCR0A = _BV(WGM01);
    TCCR0B = _BV(CS01) | _BV(CS00);
    TIMSK0 = _BV(OCIE0A);
    begin_show(&left, &left_supervisor, &shows[0]);
    begin_show(&right, &right_supervisor, &engine);
    sei();
    for (;;) {
        uint16_t now = clock_now();

        pageloom_supervise(&left_supervisor, now, BYTE_BUDGET);
        pageloom_supervise(&right_supervisor, now, BYTE_BUDGET);
        follow_switch();
    }
}
