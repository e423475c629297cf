/* Sets a live value frame by frame, lets thresholds watch it, and writes down the scene of each frame. */
#include "gauge.h"
#include <stdio.h>

uint8_t pageloom_bus_start(uint8_t address)
{
    return address != 0;
}

uint8_t pageloom_bus_write(uint8_t byte)
{
    (void)byte;
    return 1;
}

uint8_t pageloom_bus_stop(void)
{
    return 1;
}

int main(void)
{
    static const int16_t values[] = { VALUES };
    static pageloom_player player;
    static pageloom_thresholds thresholds;
    unsigned frame;

    pageloom_start(&player, gauge_reel, GAUGE_REEL_SIZE);
    pageloom_thresholds_start(&thresholds, gauge_thresholds);
    while (pageloom_tick(&player, 0, 30) == PAGELOOM_BUSY) {
    }
    for (frame = 1; frame <= sizeof values / sizeof values[0]; frame++) {
        pageloom_set(&player, GAUGE_LIVE_CELL, values[frame - 1]);
        pageloom_watch(&thresholds, &player);
        while (pageloom_tick(&player, (uint16_t)(frame * 100u), 30) == PAGELOOM_BUSY) {
        }
        printf("%u\n", player.scene);
    }
    return 0;
}
