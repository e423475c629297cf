/* device.c - the display's end of the bus; a transaction is START, address, control byte, bytes, STOP. */
#include "simulator.h"

static int open_now, refused_now;
static unsigned in_transaction; /* bytes after the address */

int device_is_open(void)
{
    return open_now;
}

uint32_t device_stretch(void)
{
    return sim.stretch + holds(sim.bytes);
}

static int acknowledge(int willing)
{
    int yes;

    sim.bytes++;
    yes = willing && !refuses(sim.bytes) && !sim.absent;
    refused_now = !yes;
    sim.refused += !yes;
    return yes;
}

int device_start(uint8_t address_byte)
{
    int yes;

    if (open_now) {
        stop_run(MALFORMED, "MALFORMED: START inside a transaction, which was not closed by STOP");
    }
    if (address_byte & 1) {
        stop_run(MALFORMED, "MALFORMED: a read, of which the display knows nothing");
    }
    sim.starts++;
    open_now = 1;
    in_transaction = 0;
    yes = acknowledge(address_byte >> 1 == sim.address || address_byte >> 1 == sim.second);
    event("START %02X %s", address_byte >> 1, yes ? "ACK" : "NACK");
    inputs_at_byte(sim.bytes);
    return yes && !sim.mute;
}

int device_byte(uint8_t byte)
{
    int yes;

    if (!open_now) {
        stop_run(MALFORMED, "MALFORMED: byte %02X outside a transaction", byte);
    } else if (refused_now) {
        stop_run(MALFORMED, "MALFORMED: byte %02X sent after a refused one", byte);
    } else if (in_transaction == 0 && byte != 0x00 && byte != 0x40) {
        stop_run(MALFORMED, "MALFORMED: control byte %02X, neither 00 (commands) nor 40 (data)", byte);
    } else if (++in_transaction > sim.write_limit) {
        stop_run(MALFORMED, "MALFORMED: more than %u bytes after the address", sim.write_limit);
    }
    yes = acknowledge(1);
    event("BYTE %02X %s", byte, yes ? "ACK" : "NACK");
    inputs_at_byte(sim.bytes);
    return yes && !sim.mute;
}

void device_stop(void)
{
    if (!open_now) {
        stop_run(MALFORMED, "MALFORMED: STOP outside a transaction");
    } else if (in_transaction == 0 && !refused_now && !sim.mute) {
        stop_run(MALFORMED, "MALFORMED: a transaction without a byte");
    }
    sim.stops++;
    open_now = 0;
    event("STOP");
}

void device_abandoned(void)
{
    if (open_now) {
        open_now = 0;
        event("ABANDONED");
    }
}
