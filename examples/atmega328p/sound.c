/* sound.c - a stub: 'P' and the number as a letter from 'A', 9600 baud, 8N1. Put your module's own commands here. */
#include <avr/io.h>
#include "sound.h"

#define BAUD 9600
#include <util/setbaud.h>

/* What must still be sent, as bits: the 'P', then the number. */
enum { COMMAND = 1, NUMBER = 2 };

static uint8_t waiting, recording;

void sound_begin(void)
{
    UBRR0 = UBRR_VALUE;
#if USE_2X
    UCSR0A = _BV(U2X0);
#endif
    UCSR0C = _BV(UCSZ01) | _BV(UCSZ00);
    UCSR0B = _BV(TXEN0);
}

void sound_play(uint8_t number)
{
    recording = number;
    waiting = COMMAND | NUMBER;
}

void sound_turn(void)
{
    if (waiting == 0 || !(UCSR0A & _BV(UDRE0))) {
        return;
    }
    if (waiting & COMMAND) {
        waiting &= (uint8_t)~COMMAND;
        UDR0 = 'P';
    } else {
        waiting = 0;
        UDR0 = (uint8_t)('A' + recording);
    }
}
