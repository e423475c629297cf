/* Two shows that need different parts of the player, in one firmware: each is played for ten seconds. */
#include <stdio.h>
#include "sweep.h"
#include "boot.h"

static unsigned long sent;

uint8_t pageloom_bus_start(uint8_t address)
{
    return address == 0x3C;
}

uint8_t pageloom_bus_write(uint8_t byte)
{
    sent = sent * 31 + byte;
    return 1;
}

uint8_t pageloom_bus_stop(void)
{
    return 1;
}

static void play(const uint8_t *reel, uint16_t bytes)
{
    static pageloom_player player;
    uint16_t now, idle = 0;

    sent = 0;
    pageloom_start(&player, reel, bytes);
    for (now = 0; now < 10000; now++) {
        idle = (uint16_t)(idle + (pageloom_tick(&player, now, 32) == PAGELOOM_IDLE));
    }
    printf("%lu %u\n", sent & 0xFFFFFFFFul, (unsigned)idle);
}

int main(void)
{
    play(sweep_reel, SWEEP_REEL_SIZE);
    play(boot_reel, BOOT_REEL_SIZE);
    return 0;
}
