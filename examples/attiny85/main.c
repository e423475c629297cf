/* main.c - a buoy: the show, a lamp that lights up at each cue and fades, a debounced button. Nothing in the loop waits. */
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/sleep.h>
#include <util/atomic.h>
#include "beacon.h"
#include "bus.h"

enum { ALLOWANCE = 16, TIMER_DIVIDER = 64, FADE_MILLISECONDS = 6, RETRY_MILLISECONDS = 100 };
enum { LOOK_MILLISECONDS = 5, LOOKS = 4, BUTTON = _BV(PB3), LAMP = _BV(PB1) };

static pageloom_player player;
static volatile uint16_t milliseconds;

ISR(TIMER0_COMPA_vect)
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
    CLKPR = _BV(CLKPCE); /* as delivered the part divides its 8 MHz by eight */
    CLKPR = 0;
    bus_begin();
    PORTB |= BUTTON; /* pull-up */
    DDRB |= LAMP;
    OCR0A = F_CPU / TIMER_DIVIDER / 1000 - 1;
    TCCR0A = _BV(WGM01);
    TCCR0B = _BV(CS01) | _BV(CS00);
    TIMSK = _BV(OCIE0A);
    TCCR1 = _BV(PWM1A) | _BV(COM1A1) | _BV(CS12) | _BV(CS11); /* 8 MHz / 32 / 256: 977 Hz */
    OCR1C = 255;
    set_sleep_mode(SLEEP_MODE_IDLE);
    pageloom_start(&player, beacon_reel, BEACON_REEL_SIZE);
    sei();
}

static void fade(uint16_t now)
{
    static uint16_t stepped;

    if ((uint16_t)(now - stepped) >= FADE_MILLISECONDS) {
        stepped = now;
        if (OCR1A > 0) {
            OCR1A--;
        }
    }
}

/* The button counts when four looks in a row find it closed, once for each press. */
static void watch_button(uint16_t now)
{
    static uint16_t looked;
    static uint8_t same;

    if ((uint16_t)(now - looked) < LOOK_MILLISECONDS) {
        return;
    }
    looked = now;
    if (PINB & BUTTON) {
        same = 0;
    } else if (same < LOOKS && ++same == LOOKS) {
        pageloom_trigger(&player, BEACON_TRIGGER_CALL);
    }
}

/* One turn of the show; whether nothing is left to do until the clock ticks. */
static uint8_t play(uint16_t now)
{
    static uint16_t failed_at;
    static uint8_t failed;

    if (failed) {
        if ((uint16_t)(now - failed_at) < RETRY_MILLISECONDS) {
            return 1;
        }
        failed = 0;
        pageloom_restart(&player);
    }
    switch (pageloom_tick(&player, now, ALLOWANCE)) {
    case PAGELOOM_CUE:
        OCR1A = 255; /* the only cue there is */
        return 0;
    case PAGELOOM_FAULT:
        failed = 1;
        failed_at = now;
        return 1;
    case PAGELOOM_IDLE:
        return 1;
    default:
        return 0;
    }
}

int main(void)
{
    begin();
    for (;;) {
        uint16_t now = clock_now();
        uint8_t idle = play(now);

        fade(now);
        watch_button(now);
        if (idle) {
            sleep_mode(); /* until the clock ticks */
        }
    }
}
