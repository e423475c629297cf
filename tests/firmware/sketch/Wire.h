/* Wire.h - the two-wire object of the stand-in: five calls, and a buffer of 32 bytes as usual. */
#ifndef WIRE_H
#define WIRE_H

#include <stdint.h>

class TwoWireObject {
public:
    void begin();
    void setClock(uint32_t hertz);
    void beginTransmission(uint8_t address);
    uint8_t write(uint8_t byte);
    uint8_t endTransmission();

private:
    uint8_t address, count, gathered[32];
};

extern TwoWireObject Wire;

#endif
