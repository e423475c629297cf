/* Plays a show on a bus that writes down what it carries; the schedule is that of main.rs and compiled.rs. */
#include "helm.h"
#include <stdio.h>

static unsigned long bytes_sent;

static uint8_t sent(uint8_t byte)
{
    bytes_sent++;
    printf(" %02X", byte);
    return bytes_sent % 997 != 0;
}

uint8_t pageloom_bus_start(uint8_t address)
{
    printf("<");
    return sent(address);
}

uint8_t pageloom_bus_write(uint8_t byte)
{
    return sent(byte);
}

uint8_t pageloom_bus_stop(void)
{
    printf(" >\n");
    return 1;
}

int main(void)
{
    static pageloom_player player;
    unsigned step;

    pageloom_start(&player, helm_reel, HELM_REEL_SIZE);
    for (step = 0; step < 600; step++) {
        unsigned call;

        if (step % 97 == 50) {
            pageloom_trigger(&player, HELM_TRIGGER_LEAK);
        }
        if (step % 193 == 100) {
            pageloom_trigger(&player, HELM_TRIGGER_ALL_CLEAR);
        }
        for (call = 0; call < 8; call++) {
            uint8_t status = pageloom_tick(&player, (uint16_t)(65000u + step * 11u), (uint8_t)(step % 40u));

            if (status == PAGELOOM_IDLE) {
                printf("idle in scene %u\n", player.scene);
                break;
            } else if (status == PAGELOOM_CUE) {
                printf("cue %u\n", player.cue);
            } else if (status == PAGELOOM_FAULT) {
                printf("fault\n");
                pageloom_restart(&player);
            } else {
                printf("busy\n");
            }
        }
    }
    return 0;
}
