/*
 * main.c - a model's firmware around the show: two lamps that fade, a debounced button, a motion and a leak input, a serial
 * sound module. One loop does everything, and nothing in it waits.
 */
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/wdt.h>
#include "bus.h"
#include "clock.h"
#include "helm.h"
#include "inputs.h"
#include "lamps.h"
#include "sound.h"

/* Bytes on the bus in one pass of the loop. helm.h states the longest time of a call with the byte budget of the script. */
enum { ALLOWANCE = 16 };
enum { REST_AFTER_SECONDS = 180, REFRESH_SECONDS = 10 };

static pageloom_player player;
static pageloom_supervisor supervisor;

static void act_on(uint8_t cue)
{
    switch (cue) {
    case HELM_CUE_LAMPS_OFF:
        lamps_fade_to(0);
        break;
    default:
        sound_play(cue);
        break;
    }
}

/* Plays the show for one pass. A display that does not answer is tried ten times a second; the rest of the model continues. */
static void play(uint16_t now)
{
    if (pageloom_supervise(&supervisor, now, ALLOWANCE) == PAGELOOM_CUE) {
        act_on(player.cue);
    }
}

/* Raises triggers for inputs. The script says what each trigger does in each scene. */
static void watch(uint16_t now)
{
    static uint16_t second_began;
    static uint8_t still_seconds;
    uint8_t came = inputs_that_came(now);

    if (came & INPUT_LEAK) {
        pageloom_trigger(&player, HELM_TRIGGER_LEAK);
        lamps_fade_to(LAMPS_FULL);
    }
    if (came & (INPUT_BUTTON | INPUT_MOTION)) {
        still_seconds = 0;
        pageloom_trigger(&player, HELM_TRIGGER_WAKE);
        lamps_fade_to(LAMPS_FULL);
    }
    if ((uint16_t)(now - second_began) >= 1000) {
        second_began += 1000;
        if (still_seconds < REST_AFTER_SECONDS && ++still_seconds == REST_AFTER_SECONDS) {
            pageloom_trigger(&player, HELM_TRIGGER_REST);
        }
    }
}

int main(void)
{
    MCUSR = 0; /* after a reset by the watchdog, it would continue with its shortest time */
    wdt_disable();
    bus_begin();
    clock_begin();
    inputs_begin();
    lamps_begin();
    sound_begin();
    pageloom_start(&player, helm_reel, HELM_REEL_SIZE);
    pageloom_supervise_start(&supervisor, &player, helm_display);
    supervisor.every = REFRESH_SECONDS;
    lamps_fade_to(LAMPS_FULL);
    wdt_enable(WDTO_250MS); /* if the loop hangs, the model restarts */
    sei();
    for (;;) {
        uint16_t now = clock_now();

        wdt_reset();
        play(now);
        watch(now);
        lamps_turn(now);
        sound_turn();
    }
}
