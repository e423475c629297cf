/* main.c - plays the bring-up show on an ATmega328P, with the bus and the clock of its example, and nothing else. */
#include <avr/interrupt.h>
#include <avr/sleep.h>
#include "bringup.h"
#include "bus.h"
#include "clock.h"

enum { ALLOWANCE = 16 };

static pageloom_player player;
static pageloom_supervisor supervisor;

int main(void)
{
    bus_begin();
    clock_begin();
    set_sleep_mode(SLEEP_MODE_IDLE);
    pageloom_start(&player, bringup_reel, BRINGUP_REEL_SIZE);
    pageloom_supervise_start(&supervisor, &player, bringup_display);
    sei();
    for (;;) {
        if (pageloom_supervise(&supervisor, clock_now(), ALLOWANCE) == PAGELOOM_IDLE) {
            sleep_mode(); /* until the clock ticks */
        }
    }
}
