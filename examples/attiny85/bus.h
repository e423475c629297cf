/* bus.h - sets up the display's bus; the three functions that the player calls are in bus.c. */
#ifndef BUS_H
#define BUS_H

void bus_begin(void);

#endif
