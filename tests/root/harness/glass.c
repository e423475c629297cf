/* Plays a show and writes down what its display is sent, `c` for commands and `d` for data; a line for each frame that is whole. */
#include "lamp_room.h"
#include <stdio.h>

#ifdef PAGELOOM_SPI
uint8_t pageloom_bus_select(uint8_t data)
{
    printf(data ? "d" : "c");
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
        printf(byte == 0x40 ? "d" : "c");
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

int main(void)
{
    static pageloom_player player;
    unsigned frame;

    pageloom_start(&player, lamp_room_reel, LAMP_ROOM_REEL_SIZE);
    for (frame = 0; frame < 80; frame++) {
        uint8_t status;

        pageloom_set(&player, LAMP_ROOM_LIVE_LIGHT, (int16_t)(frame % 12));
        do {
            status = pageloom_tick(&player, (uint16_t)(frame * 100u), 30);
        } while (status == PAGELOOM_BUSY);
        printf(status == PAGELOOM_IDLE ? "frame\n" : "fault\n");
    }
    return 0;
}
