/*
 * environment.h - a minimal stand-in for the public interface of hobby-board environments, written for these tests: what a sketch
 * may call, on an ATmega328P.
 */
#ifndef ENVIRONMENT_H
#define ENVIRONMENT_H

#include <stdint.h>

#define LOW 0
#define HIGH 1
#define INPUT 0
#define OUTPUT 1
#define INPUT_PULLUP 2

uint32_t millis(void);
int digitalRead(uint8_t pin);
void pinMode(uint8_t pin, uint8_t mode);
void digitalWrite(uint8_t pin, uint8_t level);
void delay(uint32_t milliseconds);

/* Supplied by the sketch. */
void setup(void);
void loop(void);

#endif
