/* Lets the supervisor switch a display on, play for a while and switch it off; each transaction with the millisecond it is sent in. */
#include "buoy.h"
#include <stdio.h>

enum { SWITCHED_OFF_AT = 1300, LATEST = 2000 };

static unsigned now;

#ifdef PAGELOOM_SPI
uint8_t pageloom_bus_select(uint8_t data)
{
    printf("%u %c", now, data ? 'd' : 'c');
    return 1;
}

uint8_t pageloom_bus_write(uint8_t byte)
{
    printf(" %02X", byte);
    return 1;
}
#else
static int is_control;

uint8_t pageloom_bus_start(uint8_t address)
{
    (void)address;
    is_control = 1;
    return 1;
}

uint8_t pageloom_bus_write(uint8_t byte)
{
    if (is_control) {
        printf("%u %c", now, byte == 0x40 ? 'd' : 'c');
    } else {
        printf(" %02X", byte);
    }
    is_control = 0;
    return 1;
}
#endif

uint8_t pageloom_bus_stop(void)
{
    printf("\n");
    return 1;
}

static void reset(void)
{
    printf("%u reset\n", now);
}

int main(void)
{
    static pageloom_player player;
    static pageloom_supervisor supervisor;

    pageloom_start(&player, buoy_reel, BUOY_REEL_SIZE);
    pageloom_supervise_start(&supervisor, &player, buoy_display);
    supervisor.reset = reset;
    supervisor.every = 1;
    for (now = 0; now < LATEST && !pageloom_is_off(&supervisor); now++) {
        if (now == SWITCHED_OFF_AT) {
            pageloom_supervise_off(&supervisor);
        }
        while (pageloom_supervise(&supervisor, (uint16_t)now, 30) == PAGELOOM_BUSY) {
        }
    }
    printf("%u off\n", now);
    return 0;
}
