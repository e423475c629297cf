/* environment.cpp - the stand-in itself: clock, pins of ports D and B, the two-wire and the SPI object on the part's peripherals, and the
 * loop. Pins from 8 on are those of port B. */
#include "environment.h"
#include "SPI.h"
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
    if (pin >= 8) {
        DDRB = (uint8_t)(DDRB | 1 << (pin - 8));
    } else if (mode == INPUT_PULLUP) {
        PORTD = (uint8_t)(PORTD | 1 << pin);
    }
}

void digitalWrite(uint8_t pin, uint8_t level)
{
    uint8_t bit = (uint8_t)(1 << (pin - 8));

    PORTB = (uint8_t)(level ? PORTB | bit : PORTB & ~bit);
}

void delay(uint32_t wait)
{
    uint32_t from = millis();

    while (millis() - from < wait) {
    }
}

SpiObject SPI;

void SpiObject::begin()
{
    DDRB = (uint8_t)(DDRB | _BV(PB2) | _BV(PB3) | _BV(PB5));
    SPCR = _BV(SPE) | _BV(MSTR);
}

void SpiObject::beginTransaction(SPISettings settings)
{
    SPSR = settings.clock >= F_CPU / 2 ? _BV(SPI2X) : 0;
}

uint8_t SpiObject::transfer(uint8_t byte)
{
    SPDR = byte;
    while (!(SPSR & _BV(SPIF))) {
    }
    return SPDR;
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
