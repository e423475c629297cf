/*
 * nine_bits.c - a display on 3-wire SPI, whose clock, data and chip select the firmware moves as port pins: nine bits a byte, of which
 * the first is D/C (SH1107 data sheet V2.1, 3-wire serial interface). Levels and times are those of the pins. The device sees a
 * transaction with address 0 and a control byte, as on I2C.
 */
#include <stdio.h>
#include "avr_ioport.h"
#include "sim_irq.h"
#include "simulator.h"

enum { CLOCK_PIN, DATA_PIN, SELECT_PIN, PINS };
enum { BITS = 9, DATA_WORD = 0x100, COMMANDS = 0x00, DATA = 0x40 };

static char port_name;
static unsigned numbers[PINS];
static unsigned word, bits, data_level, clock_level;
static int selected, begun, data_transaction;
static uint64_t rose, shortest = UINT64_MAX;

/* "B5,B3,B2": the pins of clock, data and chip select. */
int nine_bits_option(const char *text)
{
    char others[2];

    return sscanf(text, "%c%u,%c%u,%c%u", &port_name, &numbers[CLOCK_PIN], &others[0], &numbers[DATA_PIN], &others[1],
                  &numbers[SELECT_PIN]) == 6 && others[0] == port_name && others[1] == port_name;
}

static void on_word(void)
{
    int is_data = (word & DATA_WORD) != 0;

    if (!begun) {
        begun = 1;
        data_transaction = is_data;
        device_byte(is_data ? DATA : COMMANDS);
    } else if (is_data != data_transaction) {
        stop_run(MALFORMED, "MALFORMED: D/C changed within a transaction");
    }
    device_byte((uint8_t)word);
}

static void on_clock(avr_irq_t *irq, uint32_t level, void *param)
{
    (void)irq;
    (void)param;
    if (level && !clock_level && selected) {
        if (bits > 0 && sim.avr->cycle - rose < shortest) {
            shortest = sim.avr->cycle - rose;
        }
        rose = sim.avr->cycle;
        word = (word << 1 | data_level) & 0x1FF;
        if (++bits == BITS) {
            bits = 0;
            on_word();
        }
    }
    clock_level = level;
}

static void on_data(avr_irq_t *irq, uint32_t level, void *param)
{
    (void)irq;
    (void)param;
    if (selected && clock_level) {
        stop_run(MALFORMED, "MALFORMED: data changed while the clock was high");
    }
    data_level = level;
}

static void on_select(avr_irq_t *irq, uint32_t level, void *param)
{
    (void)irq;
    (void)param;
    if (level && selected) {
        if (bits > 0) {
            stop_run(MALFORMED, "MALFORMED: chip select was released within a byte");
        }
        selected = 0;
        device_stop();
    } else if (!level && !selected) {
        selected = 1;
        begun = 0;
        device_start(0);
    }
}

int nine_bits_attach(void)
{
    static void (*const hooks[PINS])(avr_irq_t *, uint32_t, void *) = { on_clock, on_data, on_select };
    avr_irq_t *pins[PINS];
    int pin;

    if (port_name == 0) {
        return 0;
    }
    sim.address = 0;
    for (pin = 0; pin < PINS; pin++) {
        pins[pin] = avr_io_getirq(sim.avr, AVR_IOCTL_IOPORT_GETIRQ(port_name), (int)numbers[pin]);
        avr_irq_register_notify(pins[pin], hooks[pin], NULL);
    }
    wave_pins(pins);
    return 1;
}

void nine_bits_summary(void)
{
    if (port_name != 0) {
        printf("SPI shortest clock %llu\n", (unsigned long long)shortest);
    }
}
