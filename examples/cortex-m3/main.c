/* main.c - a model's firmware around the show on a Cortex-M3: lamps, a button, a serial sound module; nothing waits. */
#include "board.h"
#include "bus.h"
#include "helm.h"

enum { ALLOWANCE = 16, REFRESH_SECONDS = 10, LOOK_MILLISECONDS = 5, LOOKS = 4 };
enum { WAKE_BUTTON = 1, LEAK_BUTTON = 2, LAMPS_LIT = 3 };

static pageloom_player player;
static pageloom_supervisor supervisor;
/* What must still be sent to the sound module: 'P', then the number of the recording as a letter. */
static uint8_t to_say[2], left_to_say;

static void act_on(uint8_t cue)
{
    if (cue == HELM_CUE_LAMPS_OFF) {
        board_lamps(0);
        return;
    }
    to_say[1] = 'P';
    to_say[0] = (uint8_t)('A' + cue);
    left_to_say = 2;
}

static void play(uint16_t now)
{
    if (pageloom_supervise(&supervisor, now, ALLOWANCE) == PAGELOOM_CUE) {
        act_on(player.cue);
    }
}

/* A level counts after four equal readings, 5 ms apart. */
static void watch_buttons(uint16_t now)
{
    static uint16_t looked;
    static uint32_t last, steady;
    static uint8_t same;
    uint32_t pressed = board_buttons(), came;

    if ((uint16_t)(now - looked) < LOOK_MILLISECONDS) {
        return;
    }
    looked = now;
    same = pressed == last ? (uint8_t)(same + 1) : 1;
    last = pressed;
    if (same < LOOKS) {
        return;
    }
    same = LOOKS;
    came = pressed & ~steady;
    steady = pressed;
    if (came & WAKE_BUTTON) {
        board_lamps(LAMPS_LIT);
        pageloom_trigger(&player, HELM_TRIGGER_WAKE);
    }
    if (came & LEAK_BUTTON) {
        pageloom_trigger(&player, HELM_TRIGGER_LEAK);
    }
}

int main(void)
{
    board_begin();
    bus_begin();
    board_lamps(LAMPS_LIT);
    pageloom_start(&player, helm_reel, HELM_REEL_SIZE);
    pageloom_supervise_start(&supervisor, &player, helm_display);
    supervisor.every = REFRESH_SECONDS;
    for (;;) {
        uint16_t now = board_now();

        play(now);
        watch_buttons(now);
        if (left_to_say > 0 && board_serial(to_say[left_to_say - 1])) {
            left_to_say--;
        }
    }
}
