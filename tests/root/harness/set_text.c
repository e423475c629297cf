/*
 * set_text.c - reads lines, each a live text in hexadecimal digits, sets the text "volts" of the show "text" to it, and prints what its
 * values are.
 */
#include <stdio.h>
#include "text.h"

uint8_t pageloom_bus_start(uint8_t address)
{
    (void)address;
    return 1;
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
    static pageloom_player player;
    char line[128], text[64];
    unsigned at, byte;

    pageloom_start(&player, text_reel, TEXT_REEL_SIZE);
    while (fgets(line, sizeof line, stdin)) {
        for (at = 0; sscanf(line + 2 * at, "%2x", &byte) == 1; at++) {
            text[at] = (char)byte;
        }
        text[at] = 0;
        pageloom_set_text(&player, text_text_volts, text);
        for (at = TEXT_LIVE_VOLTS_1; at <= TEXT_LIVE_VOLTS_5; at++) {
            printf("%d ", pageloom_get(&player, (uint8_t)at));
        }
        printf("\n");
    }
    return 0;
}
