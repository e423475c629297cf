/*
 * wave.c - the levels of the display's wires, traced by simavr itself into a value change dump. The peripherals of simavr 1.6 tell
 * bytes and not levels, so the edges of each byte follow here from when it begins and how long its clock is.
 */
#include <stdlib.h>
#include "avr_ioport.h"
#include "sim_cycle_timers.h"
#include "sim_irq.h"
#include "sim_vcd_file.h"
#include "simulator.h"

enum { CLOCK, DATA, LINES };
enum { MOST_EDGES = 64, FLUSH_MICROSECONDS = 5 };

static const char *path;
static avr_vcd_t dump;
static avr_irq_t *lines;
static struct { uint64_t at; int line, level; } edges[MOST_EDGES];
static unsigned first, count;
static int traces;

int wave_option(const char *text)
{
    path = text;
    return 1;
}

static avr_cycle_count_t due(avr_t *avr, avr_cycle_count_t when, void *param)
{
    uint64_t now = avr->cycle;

    (void)when;
    (void)param;
    while (count > 0 && edges[first % MOST_EDGES].at <= now) {
        avr->cycle = edges[first % MOST_EDGES].at; /* an instruction may have passed over it */
        avr_raise_irq(&lines[edges[first % MOST_EDGES].line], (uint32_t)edges[first % MOST_EDGES].level);
        first++;
        count--;
    }
    avr->cycle = now;
    return count > 0 ? edges[first % MOST_EDGES].at : 0;
}

static void edge(uint64_t after, int line, int level)
{
    unsigned at = (first + count) % MOST_EDGES;

    if (count == MOST_EDGES) {
        stop_run(WRONG_USE, "the wave has no room for another edge");
        return;
    }
    edges[at].at = sim.avr->cycle + after;
    edges[at].line = line;
    edges[at].level = level;
    if (count++ == 0) {
        avr_cycle_timer_register(sim.avr, after > 0 ? after : 1, due, NULL);
    }
}

void wave_start(uint64_t after, uint32_t clock)
{
    if (lines == NULL) {
        return;
    }
    edge(after + clock / 4, DATA, 0);
    edge(after + clock, CLOCK, 0);
}

void wave_stop(uint32_t clock)
{
    if (lines == NULL) {
        return;
    }
    edge(clock / 8, DATA, 0);
    edge(clock * 3 / 8, CLOCK, 1);
    edge(clock * 3 / 4, DATA, 1);
}

/* Bits, the highest first; on I2C the last is the acknowledge. Data changes an eighth into the clock's low half. */
void wave_bits(unsigned bits, int how_many, uint32_t clock)
{
    int at;

    for (at = 0; at < how_many && lines != NULL; at++) {
        uint64_t begins = (uint64_t)at * clock;

        edge(begins + clock / 8, DATA, bits >> (how_many - 1 - at) & 1);
        edge(begins + clock / 2, CLOCK, 1);
        edge(begins + clock, CLOCK, 0);
    }
}

/* `pins` are D/C and chip select of a display on SPI, NULL on I2C. */
void wave_begin(avr_irq_t *const *pins)
{
    static const char *const i2c[LINES] = { "SCL", "SDA" }, *const spi[LINES] = { "SCK", "MOSI" };
    int line;

    if (path == NULL) {
        return;
    }
    if (avr_vcd_init(sim.avr, path, &dump, FLUSH_MICROSECONDS) != 0) {
        stop_run(WRONG_USE, "%s cannot be written", path);
        return;
    }
    lines = avr_alloc_irq(&sim.avr->irq_pool, 0, LINES, NULL);
    for (line = 0; line < LINES; line++) {
        avr_vcd_add_signal(&dump, &lines[line], 1, pins != NULL ? spi[line] : i2c[line]);
    }
    if (pins != NULL) {
        avr_vcd_add_signal(&dump, pins[0], 1, "DC");
        avr_vcd_add_signal(&dump, pins[1], 1, "CS");
    }
    avr_vcd_start(&dump);
    traces = 1;
    if (pins == NULL) {
        avr_raise_irq(&lines[CLOCK], 1);
        avr_raise_irq(&lines[DATA], 1);
    }
}

void wave_pins(avr_irq_t *const *pins)
{
    static const char *const names[] = { "SCK", "MOSI", "CS" };
    unsigned pin;

    if (path == NULL) {
        return;
    }
    if (avr_vcd_init(sim.avr, path, &dump, FLUSH_MICROSECONDS) != 0) {
        stop_run(WRONG_USE, "%s cannot be written", path);
        return;
    }
    for (pin = 0; pin < sizeof names / sizeof names[0]; pin++) {
        avr_vcd_add_signal(&dump, pins[pin], 1, names[pin]);
    }
    avr_vcd_start(&dump);
    traces = 1;
}

void wave_end(void)
{
    if (traces) {
        avr_vcd_close(&dump);
    }
}
