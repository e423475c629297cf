/* inputs.h - leak sensor, motion sensor and button, each reported once when it comes. */
#ifndef INPUTS_H
#define INPUTS_H

#include <stdint.h>

enum { INPUT_LEAK = 1, INPUT_MOTION = 2, INPUT_BUTTON = 4 };

void inputs_begin(void);

/* The inputs that have come since the call before; call it in every turn of the loop. */
uint8_t inputs_that_came(uint16_t now);

#endif
