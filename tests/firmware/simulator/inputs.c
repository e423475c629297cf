/*
 * inputs.c - what happens to the firmware from outside, and when.
 *
 *     cN:D2=1    at CPU cycle N pin 2 of port D goes high
 *     bN:D2=1    when byte N is on the bus, addresses counted from 1
 *     bN:refuse  byte N is not acknowledged
 *     bN:hold=C  the clock is held for C CPU cycles after byte N
 *     cN:absent  from CPU cycle N on nothing is acknowledged; bN:absent from byte N on
 *     cN:mute    from CPU cycle N on every byte is taken and none acknowledged
 *     cN:present the display is there again, with whatever a fresh supply makes of it
 *     bN:stuck=C the display holds the data line from byte N on, until it has seen C clocks (two pins moved by hand only)
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include "avr_ioport.h"
#include "sim_irq.h"
#include "simulator.h"

enum { MOST = 512 };
enum kind { PIN, REFUSE, HOLD, PRESENCE, MUTE, STUCK };

struct input {
    int by_byte, done;
    uint64_t when;
    enum kind kind;
    char port;
    unsigned pin, value;
};
static struct input inputs[MOST];
static int count;

int input_option(const char *text)
{
    struct input *input = &inputs[count];
    char unit, what[32];

    if (count == MOST || sscanf(text, "%c%" SCNu64 ":%31s", &unit, &input->when, what) != 3) {
        return 0;
    }
    input->by_byte = unit == 'b';
    if (strcmp(what, "refuse") == 0) {
        input->kind = REFUSE;
    } else if (sscanf(what, "hold=%u", &input->value) == 1) {
        input->kind = HOLD;
    } else if (sscanf(what, "stuck=%u", &input->value) == 1) {
        input->kind = STUCK;
    } else if (strcmp(what, "mute") == 0) {
        input->kind = MUTE;
    } else if (strcmp(what, "absent") == 0 || strcmp(what, "present") == 0) {
        input->kind = PRESENCE;
        input->value = what[0] == 'p';
    } else if (sscanf(what, "%c%u=%u", &input->port, &input->pin, &input->value) == 3) {
        input->kind = PIN;
    } else {
        return 0;
    }
    count++;
    return unit == 'b' || unit == 'c';
}

/* As a pull from outside, which simavr keeps when the firmware moves other pins of the port. */
static void set_pin(const struct input *input)
{
    static uint8_t mask[26], value[26];
    unsigned port = (unsigned)(input->port - 'A') % 26u;
    avr_ioport_external_t pulls;
    avr_irq_t *irq = avr_io_getirq(sim.avr, AVR_IOCTL_IOPORT_GETIRQ(input->port), (int)input->pin);

    event("PIN %c%u %u", input->port, input->pin, input->value);
    mask[port] |= (uint8_t)(1u << input->pin);
    value[port] = (uint8_t)((value[port] & ~(1u << input->pin)) | (input->value << input->pin));
    pulls.name = (unsigned char)input->port & 0x7F;
    pulls.mask = mask[port];
    pulls.value = value[port];
    avr_ioctl(sim.avr, AVR_IOCTL_IOPORT_SET_EXTERNAL(input->port), &pulls);
    avr_raise_irq(irq, input->value);
}

static void happens(const struct input *input)
{
    if (input->kind == PIN) {
        set_pin(input);
    } else if (input->kind == MUTE) {
        sim.mute = 1;
    } else if (sim.absent == input->value) {
        sim.absent = !input->value;
        event(input->value ? "PRESENT" : "ABSENT");
    }
}

static int is_timed(const struct input *input)
{
    return input->kind == PIN || input->kind == PRESENCE || input->kind == MUTE;
}

void inputs_at_byte(uint64_t byte)
{
    int at;

    for (at = 0; at < count; at++) {
        if (is_timed(&inputs[at]) && inputs[at].by_byte && inputs[at].when == byte) {
            happens(&inputs[at]);
        }
    }
}

void inputs_at_cycle(void)
{
    static uint64_t next; /* when the next of them is due; this runs after every instruction */
    int at;

    if (sim.avr->cycle < next) {
        return;
    }
    next = UINT64_MAX;
    for (at = 0; at < count; at++) {
        struct input *input = &inputs[at];

        if (!is_timed(input) || input->by_byte || input->done) {
            continue;
        }
        if (input->when <= sim.avr->cycle) {
            input->done = 1;
            happens(input);
        } else if (input->when < next) {
            next = input->when;
        }
    }
}

static const struct input *find(enum kind kind, uint64_t byte)
{
    int at;

    for (at = 0; at < count; at++) {
        if (inputs[at].kind == kind && inputs[at].when == byte) {
            return &inputs[at];
        }
    }
    return NULL;
}

int refuses(uint64_t byte)
{
    return find(REFUSE, byte) != NULL;
}

uint32_t sticks(uint64_t byte)
{
    const struct input *input = find(STUCK, byte);

    return input != NULL ? input->value : 0;
}

uint32_t holds(uint64_t byte)
{
    const struct input *input = find(HOLD, byte);

    return input != NULL ? input->value : 0;
}
