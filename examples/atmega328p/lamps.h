/* lamps.h - two lamps that fade together, dimmed by timer 0. */
#ifndef LAMPS_H
#define LAMPS_H

#include <stdint.h>

enum { LAMPS_FULL = 255 };

void lamps_begin(void);

/* Fades to a level, 0 (dark) to 255, in about two seconds. */
void lamps_fade_to(uint8_t level);

/* Call it in every turn of the loop. */
void lamps_turn(uint16_t now);

#endif
