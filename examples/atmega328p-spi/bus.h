/* bus.h - sets up the display's bus; the functions that the player calls are in bus.c. */
#ifndef BUS_H
#define BUS_H

void bus_begin(void);

/* Pulls the display's reset pin low for 10 us, for pageloom_supervisor.reset. */
void bus_reset_display(void);

#endif
