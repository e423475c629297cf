/* sound.h - a serial sound module: each cue is one byte that tells it which of its recordings to play. */
#ifndef SOUND_H
#define SOUND_H

#include <stdint.h>

void sound_begin(void);

/* Plays the recording of a number; the last one asked for wins if the module is still listening to one before. */
void sound_play(uint8_t number);

/* Call it in every turn of the loop. */
void sound_turn(void);

#endif
