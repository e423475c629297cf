/*
 * live_times.c - plays the frames of values.h on the simulated part, on the bus of the example: each sets a live value first, and some
 * begin the show anew. A mark is written before each frame, so that its cycles can be counted.
 */
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/sleep.h>
#include "bus.h"
#include "helm.h"

typedef struct {
    uint8_t begins;
    uint8_t live;
    int16_t value;
} set_frame;

static const set_frame set_frames[] PROGMEM = {
#include "values.h"
};

static pageloom_player player;

int main(void)
{
    uint16_t now = 0, at;

    bus_begin();
    sei();
    for (at = 0; at < sizeof set_frames / sizeof *set_frames; at++) {
        const set_frame *frame = &set_frames[at];

        if (pgm_read_byte(&frame->begins)) {
            pageloom_start(&player, helm_reel, HELM_REEL_SIZE);
        }
        pageloom_set(&player, pgm_read_byte(&frame->live), (int16_t)pgm_read_word(&frame->value));
        GPIOR0 = 1;
        while (pageloom_tick(&player, now, PER_CALL) == PAGELOOM_BUSY) {
        }
        now += PERIOD;
    }
    cli();
    set_sleep_mode(SLEEP_MODE_IDLE);
    sleep_enable();
    sleep_cpu();
    return 0;
}
