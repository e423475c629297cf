/*
 * simulator.h - a simulated AVR with a write-only display on its I²C bus or SPI; what the parts of the simulator share.
 *
 *     main.c     options, the run, stack and function cycles, the summary
 *     device.c   the display's end of the bus: what a transaction may be, refused bytes, stretched clocks
 *     events.c   the printed events, the last of which are shown again when something is wrong
 *     inputs.c   pins set at a given cycle or byte
 *     twowire.c  the I²C peripheral, with the repairs that simavr 1.6 needs
 *     spi.c      the SPI peripheral, with chip select and D/C on port pins
 *     wave.c     the levels of the wires, traced into a value change dump
 *     pins.c     a bus made of two port pins, with its times for UM10204
 */
#ifndef SIMULATOR_H
#define SIMULATOR_H

#include <inttypes.h>
#include <stdint.h>
#include "sim_avr.h"
#include "sim_elf.h"
#include "sim_irq.h"

/* How a run ended; also the exit codes. */
enum {
    ENDED = 0,     /* the firmware slept with interrupts off, or its time was up and it need not end */
    CRASHED = 2,   /* the CPU met something that it cannot carry out */
    NO_END = 3,    /* still running when its time was up */
    WRONG_USE = 4, /* options, files, or something that simavr lacks */
    TOO_LARGE = 5, /* more flash than the part has */
    MALFORMED = 6  /* a transaction that a display could not follow */
};

struct simulation {
    avr_t *avr;
    int quiet;
    int over;                 /* -1 while it runs, else one of the codes above */
    uint8_t address;          /* of the display, seven bits */
    uint8_t second;           /* of another display on the same bus; the same where there is none */
    unsigned write_limit;     /* bytes after the address byte in one transaction */
    int mute;                 /* whether it takes every byte and acknowledges none */
    unsigned absent;          /* whether the display is unplugged */
    uint32_t stretch;         /* cycles that the display holds the clock after every byte */
    uint64_t bytes;           /* on the bus so far, addresses counted */
    uint64_t starts, stops, refused;
    uint64_t wire_cycles;     /* that the bus was busy, by arithmetic */
};
extern struct simulation sim;

/* events.c */
void event(const char *format, ...) __attribute__((format(printf, 1, 2)));
void stop_run(int code, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* device.c: each returns whether the display acknowledges */
int device_start(uint8_t address_byte);
int device_byte(uint8_t byte);
void device_stop(void);
void device_abandoned(void); /* the master let go of the bus inside a transaction */
int device_is_open(void);
uint32_t device_stretch(void); /* cycles that the clock is held after the byte just sent */

/* inputs.c */
int input_option(const char *text);
void inputs_at_byte(uint64_t byte);
void inputs_at_cycle(void);
int refuses(uint64_t byte);
uint32_t holds(uint64_t byte);
uint32_t sticks(uint64_t byte);

/* twowire.c */
int twowire_attach(void);
void twowire_summary(void);

/* spi.c */
int spi_option(const char *text);
int spi_attach(void);

/* nine_bits.c */
int nine_bits_option(const char *text);
int nine_bits_attach(void);
void nine_bits_summary(void);

/* wave.c */
int wave_option(const char *path);
void wave_begin(avr_irq_t *const *pins);
void wave_pins(avr_irq_t *const *pins); /* clock, data and chip select, as they are */
void wave_start(uint64_t after, uint32_t clock);
void wave_stop(uint32_t clock);
void wave_bits(unsigned bits, int count, uint32_t clock);
void wave_end(void);

/* pins.c */
int pins_option(const char *text);
void pins_follow(void);
void pins_summary(void);

#endif
