/* Holds the peak of the values and times that it reads, and writes it down. */
#include "player.h"
#include <stdio.h>

int main(void)
{
    pageloom_peak peak = PAGELOOM_NO_PEAK;
    int value;
    unsigned now, hold, fall;

    while (scanf("%d %u %u %u", &value, &now, &hold, &fall) == 4) {
        printf("%d\n", pageloom_hold_peak(&peak, (int16_t)value, (uint16_t)now, (uint16_t)hold, (uint16_t)fall));
    }
    return 0;
}
