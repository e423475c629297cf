/*
 * main.c - a buoy: the show, a lamp whose pattern starts at each cue, a number from a light sensor, and a debounced button. Nothing
 * in the loop waits.
 */
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/sleep.h>
#include <util/atomic.h>
#include "beacon.h"
#include "bus.h"

enum { ALLOWANCE = 16, TIMER_DIVIDER = 64, SENSE_MILLISECONDS = 250, REFRESH_SECONDS = 10 };
enum { LOOK_MILLISECONDS = 5, LOOKS = 4, BUTTON = _BV(PB3), LAMP = _BV(PB1) };

static pageloom_player player;
static pageloom_supervisor supervisor;
static pageloom_field sun;
static uint8_t sun_cells[2 * BEACON_FIELD_SUN_CELLS];
static uint32_t lamp_began;
static uint8_t lamp_has_begun;
static volatile uint32_t milliseconds;

ISR(TIMER0_COMPA_vect)
{
    milliseconds++;
}

static uint32_t clock_now(void)
{
    uint32_t now;

    ATOMIC_BLOCK(ATOMIC_RESTORESTATE)
    {
        now = milliseconds;
    }
    return now;
}

static void begin(void)
{
    CLKPR = _BV(CLKPCE); /* a new part divides its 8 MHz by eight */
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
    ADMUX = _BV(ADLAR) | _BV(MUX1); /* the sensor on PB4 against the supply, its eight upper bits */
    ADCSRA = _BV(ADEN) | _BV(ADSC) | _BV(ADATE) | _BV(ADPS2) | _BV(ADPS1); /* free-running, at 125 kHz */
    set_sleep_mode(SLEEP_MODE_IDLE);
    pageloom_start(&player, beacon_reel, BEACON_REEL_SIZE);
    pageloom_supervise_start(&supervisor, &player, beacon_display);
    supervisor.every = REFRESH_SECONDS;
    pageloom_field_start(&sun, beacon_field_sun, sun_cells);
    sei();
}

/* The sensor's level as a number from 00 to 99, four times a second. */
static void sense(uint16_t now)
{
    static uint16_t sensed;
    char text[] = "00";

    if ((uint16_t)(now - sensed) >= SENSE_MILLISECONDS) {
        uint8_t level = (uint8_t)(ADCH * 100U >> 8);

        sensed = now;
        text[0] = (char)('0' + level / 10);
        text[1] = (char)('0' + level % 10);
        pageloom_field_set(&sun, text);
    }
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
    if (PINB & BUTTON) {
        same = 0;
    } else if (same < LOOKS && ++same == LOOKS) {
        pageloom_trigger(&player, BEACON_TRIGGER_CALL);
    }
}

/* Plays the show for one pass. Returns whether there is nothing to do until the next millisecond. */
static uint8_t play(uint32_t time)
{
    uint8_t status = pageloom_supervise(&supervisor, (uint16_t)time, ALLOWANCE);

    if (status == PAGELOOM_IDLE) {
        status = pageloom_field_tick(&sun, &player); /* the field is sent when the picture is complete */
    }
    switch (status) {
    case PAGELOOM_CUE:
        lamp_began = time; /* the show has only this cue */
        lamp_has_begun = 1;
        return 0;
    case PAGELOOM_FAULT: /* the supervisor recovers by itself */
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
        uint32_t now = clock_now();
        uint8_t idle = play(now);

        OCR1A = lamp_has_begun ? pageloom_lamp_level(beacon_lamp_light, now - lamp_began) : 0;
        sense((uint16_t)now);
        watch_button((uint16_t)now);
        if (idle) {
            sleep_mode(); /* until the next interrupt of the clock */
        }
    }
}
