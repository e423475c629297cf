/* Moves on at the speeds, times and numbers of places that it reads, and writes down the place. */
#include "player.h"
#include <stdio.h>

int main(void)
{
    pageloom_way way = PAGELOOM_NO_WAY;
    int speed;
    unsigned now, places;

    while (scanf("%d %u %u", &speed, &now, &places) == 3) {
        printf("%d\n", pageloom_move_on(&way, (int16_t)speed, (uint16_t)now, (uint16_t)places));
    }
    return 0;
}
