/*
 * spi.c - a display on the SPI peripheral as simavr 1.6 models it, with chip select and D/C on port pins.
 *
 * As shipped a byte takes 100 us, whatever the divider. The time of a byte is therefore arithmetic here, 8 clocks (ATmega328P
 * data sheet, SPI chapter), and not evidence; the cycles of the CPU are. D/C is taken with the eighth clock, so at a byte's end
 * (SSD1306 data sheet Rev 1.5 section 8.1.3). The device sees a transaction with address 0 and a control byte, as on I2C.
 */
#include <stdio.h>
#include "avr_ioport.h"
#include "avr_spi.h"
#include "sim_cycle_timers.h"
#include "sim_io.h"
#include "sim_irq.h"
#include "simulator.h"

enum { CLOCKS = 8, COMMANDS = 0x00, DATA = 0x40 };

static avr_spi_t *spi;
static char port_name;
static unsigned data_command_pin, select_pin;
static int data_command, selected, control_seen;
static uint64_t busy_until;

/* "B1,B2": the pins of D/C and chip select. */
int spi_option(const char *text)
{
    char other;

    return sscanf(text, "%c%u,%c%u", &port_name, &data_command_pin, &other, &select_pin) == 4 && other == port_name;
}

static uint32_t clock_cycles(void)
{
    static const uint8_t dividers[] = { 4, 16, 64, 128 };
    uint8_t control = sim.avr->data[spi->r_spcr], twice = sim.avr->data[spi->r_spsr] & 1;

    return dividers[control & 3] >> twice;
}

static void on_data_command(avr_irq_t *irq, uint32_t level, void *param)
{
    (void)irq;
    (void)param;
    if (selected && (int)level != data_command && sim.avr->cycle < busy_until) {
        stop_run(MALFORMED, "MALFORMED: D/C changed while a byte was going out");
    }
    data_command = (int)level;
    control_seen = 0;
}

static void on_select(avr_irq_t *irq, uint32_t level, void *param)
{
    (void)irq;
    (void)param;
    if (level && selected) {
        if (sim.avr->cycle < busy_until) {
            stop_run(MALFORMED, "MALFORMED: chip select was released while a byte was going out");
        }
        selected = 0;
        device_stop();
    } else if (!level && !selected && (sim.avr->data[spi->r_spcr] & 0x40)) {
        selected = 1;
        control_seen = 0;
        device_start(0);
    }
}

static void on_byte(avr_irq_t *irq, uint32_t value, void *param)
{
    (void)irq;
    (void)param;
    if (!selected) {
        return;
    }
    if (!control_seen) {
        control_seen = 1;
        device_byte(data_command ? DATA : COMMANDS);
    }
    device_byte((uint8_t)value);
}

/* Runs right after simavr's own handler of a write to SPDR. */
static void after_data(avr_t *avr, avr_io_addr_t address, uint8_t value, void *param)
{
    avr_cycle_timer_slot_p timer = avr->cycle_timers.timer;
    uint32_t cycles = CLOCKS * clock_cycles();

    (void)address;
    (void)param;
    if (avr->cycle < busy_until) {
        stop_run(MALFORMED, "MALFORMED: a byte was written while the one before was going out");
    }
    while (timer != NULL && timer->param != (void *)spi) {
        timer = timer->next;
    }
    if (timer == NULL) {
        return; /* the peripheral is off */
    }
    busy_until = avr->cycle + cycles;
    wave_bits(value, CLOCKS, clock_cycles());
    sim.wire_cycles += selected ? cycles : 0;
    avr_cycle_timer_register(avr, cycles, timer->timer, timer->param);
}

int spi_attach(void)
{
    avr_io_t *port;
    avr_irq_t *pins[2];

    if (port_name == 0) {
        return 0;
    }
    for (port = sim.avr->io_port; port != NULL; port = port->next) {
        if (port->kind != NULL && port->kind[0] == 's' && port->kind[1] == 'p') {
            spi = (avr_spi_t *)port;
        }
    }
    if (spi == NULL) {
        return 0;
    }
    sim.address = 0;
    avr_irq_register_notify(avr_io_getirq(sim.avr, AVR_IOCTL_SPI_GETIRQ(spi->name), SPI_IRQ_OUTPUT), on_byte, NULL);
    pins[0] = avr_io_getirq(sim.avr, AVR_IOCTL_IOPORT_GETIRQ(port_name), (int)data_command_pin);
    pins[1] = avr_io_getirq(sim.avr, AVR_IOCTL_IOPORT_GETIRQ(port_name), (int)select_pin);
    avr_irq_register_notify(pins[0], on_data_command, NULL);
    avr_irq_register_notify(pins[1], on_select, NULL);
    wave_begin(pins);
    avr_register_io_write(sim.avr, spi->r_spdr, after_data, NULL);
    return 1;
}
