/*
 * main.c - runs a firmware in libsimavr, is the display on its bus, and prints what happens.
 *
 *     simulator [options] firmware.elf
 *       -m MCU          part (atmega328p)          -f HZ      CPU clock (16000000)
 *       -a ADDRESS      of the display (0x3C)      -w BYTES   write limit (255)
 *       -A ADDRESS      of a second display
 *       -x CYCLES       longest run                -e         it need not end: running until then is well
 *       -s CYCLES       the clock is held that long after every byte
 *       -i INPUT        see inputs.c               -p FUNCTION  counts its calls, cycles and bytes
 *       -b PINS         a bus of two pins, see pins.c
 *       -v FILE         the levels of the wires as a value change dump
 *       -d PINS         the display is on SPI: its D/C and chip select, see spi.c
 *       -g A[,B,C]      data addresses whose writes are printed as MARK 0, 1, 2 (GPIOR0 to 2)
 *       -W NAME+OFFSET  prints WATCH, its number counted from 0 and the value, when this byte of a variable changes;
 *                       @ADDRESS for a byte of data space
 *       -c              prints CALL at the end of each call of the functions: its cycles, and those the bus was busy
 *       -q              no line for each event
 *
 * Every event is a line: CPU cycle, then START, BYTE, STOP, SERIAL, PIN, MARK, WATCH or CALL. Exit codes: see simulator.h.
 */
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include "avr_uart.h"
#include "sim_io.h"
#include "sim_irq.h"
#include "simulator.h"

enum { STACK_LOW = 0x5D, STACK_HIGH = 0x5E, PAINT = 0xC5, MOST_FUNCTIONS = 8, MOST_MARKS = 3, MOST_WATCHED = 4 };
enum { FIRST_RAM_OFFSET = 0xFFFF, DATA_SPACE = 0x800000 };

struct simulation sim = { .over = -1, .address = 0x3C, .second = 0x3C, .write_limit = 255 };

/* A function that is watched: calls that sent something, calls that did not, and the one that took longest. */
struct function {
    const char *name;
    uint32_t at, sending, silent;
    uint64_t cycles, wire, bytes, silent_most, most, most_wire, most_bytes, from, wire_from, bytes_from;
    uint16_t stack, deepest; /* bytes below its entry, interrupts left out */
    int inside;
};
static struct function functions[MOST_FUNCTIONS];
static int function_count;
static unsigned marks[MOST_MARKS], watched[MOST_WATCHED];
static const char *watched_name[MOST_WATCHED];
static int mark_count, watched_count;
static uint8_t watched_value[MOST_WATCHED];
static const char *part = "atmega328p";
static uint32_t hertz = 16000000;
static uint64_t longest = 1600000000;
static int need_not_end, tells_calls;
static uint16_t lowest_stack;

static void log_errors(avr_t *avr, const int level, const char *format, va_list arguments)
{
    (void)avr;
    if (level <= LOG_ERROR) {
        vfprintf(stderr, format, arguments);
    }
}

static int options(int count, char **texts)
{
    int option, good = 1;

    while ((option = getopt(count, texts, "m:f:a:A:w:x:es:i:p:b:d:n:v:g:W:cq")) != -1) {
        switch (option) {
        case 'm': part = optarg; break;
        case 'f': hertz = (uint32_t)strtoul(optarg, NULL, 0); break;
        case 'a': sim.address = (uint8_t)strtoul(optarg, NULL, 0); break;
        case 'A': sim.second = (uint8_t)strtoul(optarg, NULL, 0); break;
        case 'w': sim.write_limit = (unsigned)strtoul(optarg, NULL, 0); break;
        case 'x': longest = strtoull(optarg, NULL, 0); break;
        case 'e': need_not_end = 1; break;
        case 's': sim.stretch = (uint32_t)strtoul(optarg, NULL, 0); break;
        case 'i': good &= input_option(optarg); break;
        case 'p': good &= function_count < MOST_FUNCTIONS; functions[function_count++ % MOST_FUNCTIONS].name = optarg; break;
        case 'b': good &= pins_option(optarg); break;
        case 'd': good &= spi_option(optarg); break;
        case 'n': good &= nine_bits_option(optarg); break;
        case 'v': good &= wave_option(optarg); break;
        case 'g': mark_count = sscanf(optarg, "%x,%x,%x", &marks[0], &marks[1], &marks[2]); break;
        case 'W': good &= watched_count < MOST_WATCHED; watched_name[watched_count++ % MOST_WATCHED] = optarg; break;
        case 'c': tells_calls = 1; break;
        case 'q': sim.quiet = 1; break;
        default: good = 0;
        }
    }
    return good && optind + 1 == count;
}

static uint32_t symbol(const elf_firmware_t *firmware, const char *name, uint32_t otherwise)
{
    uint32_t at;

    for (at = 0; at < firmware->symbolcount; at++) {
        if (strcmp(firmware->symbol[at]->symbol, name) == 0) {
            return firmware->symbol[at]->addr;
        }
    }
    return otherwise;
}

static void on_mark(avr_t *avr, avr_io_addr_t address, uint8_t value, void *param)
{
    avr->data[address] = value; /* a write hook replaces the plain store */
    event("MARK %d %u", (int)(intptr_t)param, value);
}

static void on_serial(avr_irq_t *irq, uint32_t value, void *param)
{
    (void)irq;
    (void)param;
    event("SERIAL %02X", (unsigned)value);
}

static void no_sleep(avr_t *avr, avr_cycle_count_t cycles)
{
    (void)avr;
    (void)cycles;
}

static void attach_marks_and_serial(void)
{
    uint32_t flags = 0;
    avr_irq_t *serial;
    int at;

    for (at = 0; at < mark_count; at++) {
        avr_register_io_write(sim.avr, (avr_io_addr_t)marks[at], on_mark, (void *)(intptr_t)at);
    }
    avr_ioctl(sim.avr, AVR_IOCTL_UART_GET_FLAGS('0'), &flags);
    flags &= (uint32_t)~AVR_UART_FLAG_STDIO;
    avr_ioctl(sim.avr, AVR_IOCTL_UART_SET_FLAGS('0'), &flags);
    serial = avr_io_getirq(sim.avr, AVR_IOCTL_UART_GETIRQ('0'), UART_IRQ_OUTPUT);
    if (serial != NULL) {
        avr_irq_register_notify(serial, on_serial, NULL);
    }
}

/* Loads the firmware; a part of the run's code when it cannot be run. */
static int load(elf_firmware_t *firmware, const char *path)
{
    uint32_t flash;

    if (elf_read_firmware(path, firmware) != 0) {
        fprintf(stderr, "cannot read the firmware %s\n", path);
        return WRONG_USE;
    }
    sim.avr = avr_make_mcu_by_name(part);
    if (sim.avr == NULL) {
        fprintf(stderr, "simavr knows no part %s\n", part);
        return WRONG_USE;
    }
    avr_init(sim.avr);
    flash = sim.avr->flashend + 1;
    if (firmware->flashsize > flash) {
        fprintf(stderr, "TOO LARGE: the firmware takes %u bytes of flash, the %s has %u\n", firmware->flashsize, part, flash);
        return TOO_LARGE;
    }
    firmware->frequency = hertz;
    avr_load_firmware(sim.avr, firmware);
    sim.avr->frequency = hertz;
    sim.avr->sleep = no_sleep; /* never waits for the clock on the wall */
    return ENDED;
}

static int find_functions(const elf_firmware_t *firmware)
{
    int at;

    for (at = 0; at < function_count; at++) {
        functions[at].at = symbol(firmware, functions[at].name, UINT32_MAX);
        if (functions[at].at == UINT32_MAX) {
            fprintf(stderr, "the firmware has no function %s; it may have been pasted into its caller\n", functions[at].name);
            return 0;
        }
    }
    return 1;
}

static int find_watched(const elf_firmware_t *firmware)
{
    char name[64];
    unsigned offset;
    int at;

    for (at = 0; at < watched_count; at++) {
        if (sscanf(watched_name[at], "@%x", &watched[at]) == 1) {
            continue;
        }
        if (sscanf(watched_name[at], "%63[^+]+%u", name, &offset) != 2
            || symbol(firmware, name, UINT32_MAX) == UINT32_MAX) {
            fprintf(stderr, "the firmware has no variable %s\n", watched_name[at]);
            return 0;
        }
        watched[at] = (symbol(firmware, name, UINT32_MAX) & FIRST_RAM_OFFSET) + offset;
    }
    return 1;
}

static void follow_function(struct function *function, uint16_t stack)
{
    uint64_t cycles, bytes, wire;

    if (!function->inside) {
        if (sim.avr->pc == function->at) {
            function->inside = 1;
            function->from = sim.avr->cycle;
            function->wire_from = sim.wire_cycles;
            function->bytes_from = sim.bytes;
            function->stack = stack;
        }
        return;
    }
    if (stack <= function->stack) { /* its return address is still on the stack */
        if (sim.avr->sreg[S_I] && stack > sim.avr->ioend && function->stack - stack > function->deepest) {
            function->deepest = (uint16_t)(function->stack - stack);
        }
        return;
    }
    cycles = sim.avr->cycle - function->from;
    bytes = sim.bytes - function->bytes_from;
    wire = sim.wire_cycles - function->wire_from;
    function->inside = 0;
    if (tells_calls) {
        event("CALL %" PRIu64 " %" PRIu64, cycles, wire);
    }
    if (bytes > 0) {
        function->sending++;
        function->cycles += cycles;
        function->wire += wire;
        function->bytes += bytes;
    } else {
        function->silent++;
        function->silent_most = cycles > function->silent_most ? cycles : function->silent_most;
    }
    if (cycles > function->most) {
        function->most = cycles;
        function->most_bytes = bytes;
        function->most_wire = wire;
    }
}

static void follow_watched(void)
{
    int at;

    for (at = 0; at < watched_count; at++) {
        uint8_t value = sim.avr->data[watched[at]];

        if (value != watched_value[at]) {
            watched_value[at] = value;
            event("WATCH %d %u", at, value);
        }
    }
}

static void run(void)
{
    int state = cpu_Running, at;

    while (sim.over < 0) {
        uint16_t stack;

        if (sim.avr->cycle >= longest) {
            if (need_not_end) {
                sim.over = ENDED;
            } else {
                stop_run(NO_END, "NO END: still running after %" PRIu64 " cycles", (uint64_t)sim.avr->cycle);
            }
            return;
        }
        state = avr_run(sim.avr);
        if (state == cpu_Done) {
            sim.over = ENDED;
            return;
        }
        if (state == cpu_Crashed) {
            stop_run(CRASHED, "CRASHED: the CPU cannot go on at address %04X", (unsigned)sim.avr->pc);
            return;
        }
        stack = (uint16_t)(sim.avr->data[STACK_LOW] | sim.avr->data[STACK_HIGH] << 8);
        if (stack < lowest_stack && stack > sim.avr->ioend) { /* not a pointer of which half is written */
            lowest_stack = stack;
        }
        for (at = 0; at < function_count; at++) {
            follow_function(&functions[at], stack);
        }
        pins_follow();
        inputs_at_cycle();
        follow_watched();
    }
}

static void summary(uint16_t static_end)
{
    uint16_t first = (uint16_t)(sim.avr->ioend + 1), deepest = static_end;
    int at;

    while (deepest <= sim.avr->ramend && sim.avr->data[deepest] == PAINT) {
        deepest++;
    }
    printf("END code=%d cycles=%" PRIu64 " open=%d\n", sim.over, (uint64_t)sim.avr->cycle, device_is_open());
    printf("BUS starts=%" PRIu64 " stops=%" PRIu64 " bytes=%" PRIu64 " refused=%" PRIu64 " wire=%" PRIu64 "\n", sim.starts,
           sim.stops, sim.bytes, sim.refused, sim.wire_cycles);
    printf("RAM static=%u stack=%u painted=%u\n", static_end - first, sim.avr->ramend - lowest_stack,
           sim.avr->ramend + 1 - deepest);
    for (at = 0; at < function_count; at++) {
        const struct function *function = &functions[at];

        printf("FUNCTION %s sending=%u cycles=%" PRIu64 " wire=%" PRIu64 " bytes=%" PRIu64 "\n", function->name,
               function->sending, function->cycles, function->wire, function->bytes);
        printf("FUNCTION %s silent=%u silent_most=%" PRIu64 " stack=%u\n", function->name, function->silent,
               function->silent_most, function->deepest);
        printf("FUNCTION %s most=%" PRIu64 " most_wire=%" PRIu64 " most_bytes=%" PRIu64 "\n", function->name, function->most,
               function->most_wire, function->most_bytes);
    }
}

int main(int count, char **texts)
{
    elf_firmware_t firmware;
    uint16_t static_end;
    int code;

    memset(&firmware, 0, sizeof firmware);
    if (!options(count, texts)) {
        fprintf(stderr, "usage: see the head of main.c\n");
        return WRONG_USE;
    }
    avr_global_logger_set(log_errors);
    code = load(&firmware, texts[optind]);
    if (code != ENDED) {
        return code;
    }
    if (!find_functions(&firmware) || !find_watched(&firmware)) {
        return WRONG_USE;
    }
    attach_marks_and_serial();
    if (!spi_attach() && !nine_bits_attach()) {
        wave_begin(NULL);
    }
    code = twowire_attach();
    /* From outside, so that the firmware need not be altered. */
    static_end = (uint16_t)(symbol(&firmware, "_end", DATA_SPACE + sim.avr->ioend + 1u) & FIRST_RAM_OFFSET);
    memset(sim.avr->data + static_end, PAINT, (size_t)(sim.avr->ramend - static_end + 1));
    lowest_stack = sim.avr->ramend;
    run();
    wave_end();
    summary(static_end);
    pins_summary();
    nine_bits_summary();
    if (code) {
        twowire_summary();
    }
    fflush(stdout);
    return sim.over;
}
