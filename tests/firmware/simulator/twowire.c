/*
 * twowire.c - the I²C peripheral as simavr 1.6 models it, repaired from outside through public headers.
 *
 * As shipped: (a) TWBR and TWPS are ignored, a data byte takes a fixed time, START, STOP and the address take none;
 * (b) TWINT stays 1 after firmware writes 1 to it, so a polling loop never waits and reads the status before; (c) the
 * address reports 0x28 and 0x30 where the chip reports 0x18 and 0x20; (d) TWSTO reads 0 at once. The time of a byte is
 * therefore arithmetic here, 9 x (16 + 2 x TWBR x 4^TWPS) cycles (ATmega328P data sheet, two-wire chapter), and not
 * evidence; the cycles of the CPU are.
 */
#include <stdio.h>
#include "avr_twi.h"
#include "sim_cycle_timers.h"
#include "sim_io.h"
#include "sim_irq.h"
#include "simulator.h"

enum { TWINT_BIT = 1 << 7, TWSTA_BIT = 1 << 5, TWSTO_BIT = 1 << 4, TWEN_BIT = 1 << 2 };
/* Status codes of the ATmega328P data sheet, two-wire chapter. */
enum {
    STARTED = 0x08,
    STARTED_AGAIN = 0x10,
    ADDRESS_TAKEN = 0x18,
    ADDRESS_REFUSED = 0x20,
    BYTE_TAKEN = 0x28,
    BYTE_REFUSED = 0x30
};
/* In clock periods; only a byte is exact, START and STOP are "about one". */
enum { BITS_START = 1, BITS_BYTE = 9, BITS_STOP = 1 };

static avr_twi_t *twi;
static avr_irq_t *to_twi;
static uint64_t free_at, busy_until;
static int address_phase, stop_seen;
static unsigned bits_seen; /* of the byte that goes out, with its acknowledge */

static uint32_t clock_cycles(void)
{
    uint8_t rate = sim.avr->data[twi->r_twbr], prescaler = sim.avr->data[twi->r_twsr] & 3;

    return 16 + 2u * rate * (1u << (2 * prescaler));
}

static void acknowledge(uint8_t byte, int yes)
{
    bits_seen = (unsigned)byte << 1 | !yes;
    if (yes) {
        avr_raise_irq(to_twi, avr_twi_irq_msg(TWI_COND_ACK, (uint8_t)(sim.address << 1), 1));
    }
}

/* simavr expects the acknowledge before this returns; START and address arrive as one message. */
static void on_message(avr_irq_t *irq, uint32_t value, void *param)
{
    avr_twi_msg_irq_t message;

    (void)irq;
    (void)param;
    message.u.v = value;
    if (message.u.twi.msg & TWI_COND_STOP) {
        stop_seen = 1;
        device_stop();
    }
    if (message.u.twi.msg & TWI_COND_START) {
        address_phase = 1;
        acknowledge(message.u.twi.addr, device_start(message.u.twi.addr));
    }
    if (message.u.twi.msg & TWI_COND_WRITE) {
        acknowledge(message.u.twi.data, device_byte(message.u.twi.data));
    }
}

static avr_cycle_count_t clear_stop(avr_t *avr, avr_cycle_count_t when, void *param)
{
    (void)when;
    (void)param;
    avr->data[twi->r_twcr] &= (uint8_t)~TWSTO_BIT;
    return 0;
}

/* How long the action just begun takes; corrects the status that simavr will report. */
static uint64_t duration(void)
{
    uint64_t cycles;
    uint8_t status = twi->next_twstate;

    if (status == STARTED || status == STARTED_AGAIN) {
        cycles = BITS_START * clock_cycles();
        sim.wire_cycles += cycles;
        if (free_at > sim.avr->cycle) {
            cycles += free_at - sim.avr->cycle;
        }
        wave_start(cycles - BITS_START * clock_cycles(), clock_cycles());
        return cycles;
    }
    cycles = BITS_BYTE * clock_cycles() + device_stretch();
    sim.wire_cycles += cycles;
    wave_bits(bits_seen, BITS_BYTE, clock_cycles());
    if (address_phase && status == BYTE_TAKEN) {
        twi->next_twstate = ADDRESS_TAKEN;
    }
    if (address_phase && status == BYTE_REFUSED) {
        twi->next_twstate = ADDRESS_REFUSED;
    }
    address_phase = 0;
    return cycles;
}

static void after_stop(uint8_t control)
{
    free_at = sim.avr->cycle + BITS_STOP * clock_cycles();
    sim.wire_cycles += BITS_STOP * clock_cycles();
    wave_stop(clock_cycles());
    if (!(control & TWSTA_BIT)) { /* TWSTO stays readable until STOP is done */
        sim.avr->data[twi->r_twcr] |= TWSTO_BIT;
        avr_cycle_timer_register(sim.avr, BITS_STOP * clock_cycles(), clear_stop, NULL);
    }
    stop_seen = 0;
}

/* simavr's own note of when to raise TWINT; NULL if there is none. */
static avr_cycle_timer_slot_p note(void)
{
    avr_cycle_timer_slot_p timer = sim.avr->cycle_timers.timer;

    while (timer != NULL && timer->param != (void *)twi) {
        timer = timer->next;
    }
    return timer;
}

/* The peripheral lets go of both lines; what the firmware then does by hand is not followed. */
static void switched_off(void)
{
    avr_cycle_timer_slot_p timer = note();

    if (timer != NULL) {
        avr_cycle_timer_cancel(sim.avr, timer->timer, timer->param);
    }
    busy_until = 0;
    device_abandoned();
}

/* Runs right after simavr's own handler of a write to TWCR. */
static void after_control(avr_t *avr, avr_io_addr_t addr, uint8_t value, void *param)
{
    avr_cycle_timer_slot_p timer;
    int stopped = stop_seen;
    uint64_t cycles;

    (void)addr;
    (void)param;
    if (!(value & TWEN_BIT)) {
        switched_off();
    }
    if (!(value & TWINT_BIT)) {
        return;
    }
    if (avr->cycle < busy_until) {
        stop_run(MALFORMED, "MALFORMED: the control register was written while the bus was busy");
    }
    avr->data[twi->r_twcr] &= (uint8_t)~TWINT_BIT;
    if (stopped) {
        after_stop(value);
    }
    timer = note();
    if (timer == NULL) {
        if (!stopped && !(value & TWSTO_BIT)) {
            stop_run(MALFORMED, "MALFORMED: the control register was written without new data");
        }
        return;
    }
    cycles = duration();
    busy_until = avr->cycle + cycles;
    avr_cycle_timer_register(avr, cycles, timer->timer, timer->param);
}

int twowire_attach(void)
{
    avr_io_t *port;
    uint32_t name;

    for (port = sim.avr->io_port; port != NULL; port = port->next) {
        if (port->kind != NULL && port->kind[0] == 't' && port->kind[1] == 'w') {
            twi = (avr_twi_t *)port;
        }
    }
    if (twi == NULL) {
        return 0;
    }
    name = (uint32_t)twi->name;
    to_twi = avr_io_getirq(sim.avr, AVR_IOCTL_TWI_GETIRQ(name), TWI_IRQ_INPUT);
    avr_irq_register_notify(avr_io_getirq(sim.avr, AVR_IOCTL_TWI_GETIRQ(name), TWI_IRQ_OUTPUT), on_message, NULL);
    avr_register_io_write(sim.avr, twi->r_twcr, after_control, NULL);
    return 1;
}

void twowire_summary(void)
{
    printf("CLOCK cycles=%u\n", clock_cycles());
}
