/*
 * live.c - sets the live values of the show "live" on the simulated part, on the bus of the example, by the schedule that
 * tests/root/live.rs follows too. Time is counted in steps and not by the clock, so that the bytes are the same.
 */
#include <avr/interrupt.h>
#include <avr/sleep.h>
#include "bus.h"
#include "helm.h"

static pageloom_player player;
static uint16_t lot = 1;

/* A linear congruential generator; both sides draw the same numbers. */
static uint16_t draw(void)
{
    lot = (uint16_t)(lot * 25173u + 13849u);
    return lot >> 4;
}

int main(void)
{
    unsigned step;

    bus_begin();
    pageloom_start(&player, helm_reel, HELM_REEL_SIZE);
    sei();
    for (step = 0; step < 2000; step++) {
        if (draw() % 8 == 0) {
            uint8_t live = (uint8_t)(draw() % PAGELOOM_LIVE);

            pageloom_set(&player, live, (int16_t)(draw() % 200u) - 60);
        }
        if (step % 701 == 600) {
            pageloom_trigger(&player, HELM_TRIGGER_KNOCK);
        }
        pageloom_tick(&player, (uint16_t)(64000u + step * 5u), 16);
    }
    cli();
    set_sleep_mode(SLEEP_MODE_IDLE);
    sleep_enable();
    sleep_cpu();
    return 0;
}
