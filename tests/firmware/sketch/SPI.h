/* SPI.h - the SPI object of the stand-in, on the part's peripheral. */
#ifndef SPI_H
#define SPI_H

#include <stdint.h>

#define MSBFIRST 1
#define SPI_MODE0 0

class SPISettings {
public:
    SPISettings(uint32_t hertz, uint8_t, uint8_t) : clock(hertz) {}
    uint32_t clock;
};

class SpiObject {
public:
    void begin();
    void beginTransaction(SPISettings settings);
    uint8_t transfer(uint8_t byte);
    void endTransaction() {}
};

extern SpiObject SPI;

#endif
