/*
 * counted.c - plays a show on a Cortex-M3 over a bus that takes no time, and tells the debugger how many ticks of the core's
 * timer the calls of the player took. QEMU, told to, takes one nanosecond for an instruction, and the timer counts every 40.
 */
#include "bus.h"
#include "helm.h"

enum { SAY = 4, EXIT = 24, EXITED_WELL = 0x20026, STEP_MILLISECONDS = 500, FULL = 0xFFFFFF };

#define TICK_CONTROL (*(volatile uint32_t *)0xE000E010u)
#define TICK_RELOAD (*(volatile uint32_t *)0xE000E014u)
#define TICK_VALUE (*(volatile uint32_t *)0xE000E018u)

static pageloom_player player;

static int ask(int request, const void *about)
{
    register int number __asm__("r0") = request;
    register const void *argument __asm__("r1") = about;

    __asm__ volatile("bkpt 0xAB" : "+r"(number) : "r"(argument) : "memory");
    return number;
}

static void say(const char *what, uint32_t number)
{
    char line[48], digits[12], *to = line;
    int count = 0;

    while (*what) {
        *to++ = *what++;
    }
    do {
        digits[count++] = (char)('0' + number % 10);
        number /= 10;
    } while (number > 0);
    while (count > 0) {
        *to++ = digits[--count];
    }
    *to++ = '\n';
    *to = 0;
    ask(SAY, line);
}

int main(void)
{
    uint16_t now = 0;
    uint32_t total = 0;

    TICK_RELOAD = FULL;
    TICK_VALUE = 0;
    TICK_CONTROL = 5; /* on, by the core's clock, without an interrupt */
    pageloom_start(&player, helm_reel, HELM_REEL_SIZE);
    while (now < RUN_MILLISECONDS) {
        uint32_t from = TICK_VALUE;

        if (pageloom_tick(&player, now, 16) == PAGELOOM_IDLE) {
            now = (uint16_t)(now + STEP_MILLISECONDS);
        }
        total += (from - TICK_VALUE) & FULL;
    }
    say("RAM ticks=", total);
    ask(EXIT, (const void *)EXITED_WELL);
    return 0;
}
