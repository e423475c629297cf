/* clock.h - milliseconds since the start, from timer 1; they wrap, as the player allows. */
#ifndef CLOCK_H
#define CLOCK_H

#include <stdint.h>

void clock_begin(void);
uint16_t clock_now(void);

#endif
