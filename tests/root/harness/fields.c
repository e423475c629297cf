/* Plays the show "fields" by a schedule that tests/root/fields.rs follows too, and prints what goes over the bus. */
#include <stdio.h>
#include "fields.h"

static unsigned long bytes;
static int open_now;

static uint8_t acknowledge(void)
{
    bytes++;
    if (bytes % 1999 == 0) {
        printf("!");
        return 0;
    }
    return 1;
}

uint8_t pageloom_bus_start(uint8_t address)
{
    open_now++;
    printf("%02X<", (unsigned)address);
    return acknowledge();
}

uint8_t pageloom_bus_write(uint8_t byte)
{
    printf(" %02X", (unsigned)byte);
    return acknowledge();
}

uint8_t pageloom_bus_stop(void)
{
    open_now--;
    printf(" >\n");
    return 1;
}

int main(void)
{
    static pageloom_player player;
    static pageloom_field depth, volts;
    static uint8_t depth_cells[2 * FIELDS_FIELD_DEPTH_CELLS], volts_cells[2 * FIELDS_FIELD_VOLTS_CELLS];
    unsigned step;

    pageloom_start(&player, fields_reel, FIELDS_REEL_SIZE);
    pageloom_field_start(&depth, fields_field_depth, depth_cells);
    pageloom_field_start(&volts, fields_field_volts, volts_cells);
    for (step = 0; step < 3000; step++) {
        uint8_t status;
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
            pageloom_trigger(&player, FIELDS_TRIGGER_KNOCK);
        }
        status = pageloom_tick(&player, (uint16_t)(64000u + step * 5u), 16);
        if (status == PAGELOOM_IDLE) {
            status = pageloom_field_tick(&depth, &player);
        }
        if (status == PAGELOOM_IDLE) {
            status = pageloom_field_tick(&volts, &player);
        }
        if (status == PAGELOOM_FAULT) {
            printf("fault\n");
            pageloom_restart(&player);
        }
        if (open_now != 0) {
            printf("a transaction stays open\n");
            return 1;
        }
    }
    return 0;
}
