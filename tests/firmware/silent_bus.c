/* silent_bus.c - a bus that takes no time and reaches nothing, so that the cycles of a call are the player's own. */
#include "bus.h"
#include "helm.h"

void bus_begin(void)
{
}

#ifdef PAGELOOM_SPI
uint8_t pageloom_bus_select(uint8_t data)
{
    (void)data;
    return 1;
}
#else
uint8_t pageloom_bus_start(uint8_t address)
{
    (void)address;
    return 1;
}
#endif

uint8_t pageloom_bus_write(uint8_t byte)
{
    (void)byte;
    return 1;
}

uint8_t pageloom_bus_stop(void)
{
    return 1;
}
