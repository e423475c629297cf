/* startup.c - vectors, variables with values, cleared variables, main; for a part without an operating system. */
#include <stdint.h>

extern uint32_t stack_top, data_from, data_begin, data_end, bss_begin, bss_end;

int main(void);
void tick_interrupt(void);
void reset(void);

void reset(void)
{
    uint32_t *from = &data_from, *to;

    for (to = &data_begin; to < &data_end; to++) {
        *to = *from++;
    }
    for (to = &bss_begin; to < &bss_end; to++) {
        *to = 0;
    }
    main();
    for (;;) {
    }
}

static void stop(void)
{
    for (;;) {
    }
}

/* Armv7-M Architecture Reference Manual, B1.5: stack, then the handlers; the tick timer's is number 15. */
__attribute__((section(".vectors"), used)) static void (*const vectors[16])(void) = {
    (void (*)(void))&stack_top, reset, stop, stop, stop, stop, stop, 0, 0, 0, 0, stop, stop, 0, stop, tick_interrupt
};
