/* main.c - plays the bring-up show on an ATmega328P, with the bus and the clock of its example, and nothing else. */
#include <avr/interrupt.h>
#include <avr/sleep.h>
#include "bringup.h"
#include "bus.h"
#include "clock.h"

enum { ALLOWANCE = 16, RETRY_MILLISECONDS = 100 };

static pageloom_player player;

int main(void)
{
    uint16_t failed_at = 0;
    uint8_t failed = 0;

    bus_begin();
    clock_begin();
    set_sleep_mode(SLEEP_MODE_IDLE);
    pageloom_start(&player, bringup_reel, BRINGUP_REEL_SIZE);
    sei();
    for (;;) {
        uint16_t now = clock_now();
        uint8_t status;

        if (failed && (uint16_t)(now - failed_at) < RETRY_MILLISECONDS) {
            continue;
        }
        if (failed) {
            pageloom_restart(&player);
        }
        status = pageloom_tick(&player, now, ALLOWANCE);
        failed = status == PAGELOOM_FAULT;
        failed_at = now;
        if (status == PAGELOOM_IDLE) {
            sleep_mode(); /* until the clock ticks */
        }
    }
}
