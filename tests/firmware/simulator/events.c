/* events.c - prints what happens and when; keeps the last events for the report when something is wrong. */
#include <stdarg.h>
#include <stdio.h>
#include "simulator.h"

enum { KEPT = 24, LONGEST = 120 };

static char kept[KEPT][LONGEST];
static unsigned next;

void event(const char *format, ...)
{
    char *line = kept[next++ % KEPT];
    int length = snprintf(line, LONGEST, "%" PRIu64 " ", (uint64_t)sim.avr->cycle);
    va_list arguments;

    va_start(arguments, format);
    vsnprintf(line + length, (size_t)(LONGEST - length), format, arguments);
    va_end(arguments);
    if (!sim.quiet) {
        puts(line);
    }
}

void stop_run(int code, const char *format, ...)
{
    va_list arguments;
    unsigned at = next > KEPT ? next - KEPT : 0;

    if (sim.over >= 0) {
        return;
    }
    sim.over = code;
    va_start(arguments, format);
    vfprintf(stderr, format, arguments);
    va_end(arguments);
    fprintf(stderr, "\nthe last that happened (CPU cycle, event):\n");
    for (; at < next; at++) {
        fprintf(stderr, "  %s\n", kept[at % KEPT]);
    }
}
