/* environment.cpp - the stand-in itself: clock, pins of port D, the two-wire object on the part's peripheral, and the loop. */
#include "environment.h"
#include "Wire.h"
#include <avr/interrupt.h>
#include <avr/io.h>
#include <util/atomic.h>

static volatile uint32_t milliseconds;

ISR(TIMER0_COMPA_vect)
{
    milliseconds++;
}

uint32_t millis(void)
{
    uint32_t now;

    ATOMIC_BLOCK(ATOMIC_RESTORESTATE)
    {
        now = milliseconds;
    }
    return now;
}

int digitalRead(uint8_t pin)
{
    return (PIND >> pin) & 1;
}

void pinMode(uint8_t pin, uint8_t mode)
{
    if (mode == INPUT_PULLUP) {
        PORTD = (uint8_t)(PORTD | 1 << pin);
    }
}

TwoWireObject Wire;

void TwoWireObject::begin()
{
    TWCR = _BV(TWEN);
}

void TwoWireObject::setClock(uint32_t hertz)
{
    TWBR = (uint8_t)((F_CPU / hertz - 16) / 2);
}

void TwoWireObject::beginTransmission(uint8_t to)
{
    address = to;
    count = 0;
}

uint8_t TwoWireObject::write(uint8_t byte)
{
    if (count == sizeof gathered) {
        return 0;
    }
    gathered[count++] = byte;
    return 1;
}

static uint8_t acts(uint8_t control)
{
    TWCR = (uint8_t)(control | _BV(TWINT) | _BV(TWEN));
    while (!(TWCR & _BV(TWINT))) {
    }
    return TWSR & 0xF8;
}

uint8_t TwoWireObject::endTransmission()
{
    uint8_t at, good;

    while (TWCR & _BV(TWSTO)) {
    }
    acts(_BV(TWSTA));
    TWDR = (uint8_t)(address << 1);
    good = acts(0) == 0x18;
    for (at = 0; good && at < count; at++) {
        TWDR = gathered[at];
        good = acts(0) == 0x28;
    }
    TWCR = _BV(TWINT) | _BV(TWEN) | _BV(TWSTO);
    return good ? 0 : 3;
}

int main(void)
{
    OCR0A = F_CPU / 64 / 1000 - 1;
    TCCR0A = _BV(WGM01);
    TCCR0B = _BV(CS01) | _BV(CS00);
    TIMSK0 = _BV(OCIE0A);
    sei();
    setup();
    for (;;) {
        loop();
    }
}
