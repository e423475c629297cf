/* Moves on at the speeds and times that it reads, and writes down the place. */
#include "player.h"
#include <stdio.h>

int main(void)
{
    pageloom_way way = PAGELOOM_NO_WAY;
    int speed;
    unsigned now;

    while (scanf("%d %u", &speed, &now) == 2) {
        printf("%d\n", pageloom_move_on(&way, (int16_t)speed, (uint16_t)now, 120));
    }
    return 0;
}
