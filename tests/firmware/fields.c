/*
 * fields.c - fills the live fields of the show "fields" on the simulated part, on the bus of the example, by the schedule
 * that tests/root/fields.rs follows too. Time is counted in steps and not by the clock, so that the bytes are the same.
 */
#include <avr/interrupt.h>
#include <avr/sleep.h>
#include <stdio.h>
#include "bus.h"
#include "helm.h"

static pageloom_player player;
static pageloom_field depth, volts;
static uint8_t depth_cells[2 * HELM_FIELD_DEPTH_CELLS], volts_cells[2 * HELM_FIELD_VOLTS_CELLS];

static void write_texts(unsigned step)
{
    char text[16];

    if (step % 23 == 0) {
        sprintf(text, "%u.%um", step % 977, step % 7);
        pageloom_field_set(&depth, text);
    }
    if (step % 41 == 0) {
        sprintf(text, "%u V?", step % 100);
        pageloom_field_set(&volts, text);
    }
    if (step % 701 == 600) {
        pageloom_trigger(&player, HELM_TRIGGER_KNOCK);
    }
}

int main(void)
{
    unsigned step;

    bus_begin();
    pageloom_start(&player, helm_reel, HELM_REEL_SIZE);
    pageloom_field_start(&depth, helm_field_depth, depth_cells);
    pageloom_field_start(&volts, helm_field_volts, volts_cells);
    sei();
    for (step = 0; step < 3000; step++) {
        uint8_t status;

        write_texts(step);
        status = pageloom_tick(&player, (uint16_t)(64000u + step * 5u), 16);
        if (status == PAGELOOM_IDLE) {
            status = pageloom_field_tick(&depth, &player);
        }
        if (status == PAGELOOM_IDLE) {
            pageloom_field_tick(&volts, &player);
        }
    }
    cli();
    set_sleep_mode(SLEEP_MODE_IDLE);
    sleep_enable();
    sleep_cpu();
    return 0;
}
