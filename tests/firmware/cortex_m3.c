/*
 * cortex_m3.c - plays a show on the bus of the example as fast as it goes, time being counted and not waited for, and
 * tells the debugger what happens in the words of the simulator for 8-bit parts: MARK, WATCH and, at the end, RAM.
 *
 * With TRIGGERS raises triggers 0, 2, 1, 2 in turn after every so many calls, wherever the show then is.
 */
#include "bus.h"
#include "helm.h"

enum { ALLOWANCE = 16, LAST_MILLISECOND = 60500, SAY = 4, EXIT = 24, EXITED_WELL = 0x20026, PAINT = 0xC5 };
enum { FRAME = 0, CUE = 1, EVENT = 2, FAULTY = 255, SCENE = 0, TAKEN = 1, LONGEST_TRIGGER_PAUSE = 97 };

extern uint8_t bss_end;

static pageloom_player player;

/* Semihosting, a request to the debugger: Arm IHI 0100. */
static int ask(int request, const void *about)
{
    register int number __asm__("r0") = request;
    register const void *argument __asm__("r1") = about;

    __asm__ volatile("bkpt 0xAB" : "+r"(number) : "r"(argument) : "memory");
    return number;
}

static char *put(char *to, const char *text)
{
    while (*text) {
        *to++ = *text++;
    }
    return to;
}

static char *put_number(char *to, unsigned number)
{
    if (number > 9) {
        to = put_number(to, number / 10);
    }
    *to++ = (char)('0' + number % 10);
    return to;
}

static void say(const char *what, unsigned first, const char *between, unsigned second)
{
    char line[48], *to = put_number(put(line, what), first);

    to = put_number(put(to, between), second);
    *put(to, "\n") = 0;
    ask(SAY, line);
}

/* Tells what came of a call. */
static void tell(uint8_t status)
{
    static uint16_t due;
    static uint8_t taken, scene;

    if (player.taken != taken) {
        taken = player.taken;
        say("0 WATCH ", TAKEN, " ", taken);
    }
    if (player.scene != scene) {
        scene = player.scene;
        say("0 WATCH ", SCENE, " ", scene);
    }
    if (status == PAGELOOM_IDLE && player.due != due) {
        due = player.due;
        say("0 MARK ", FRAME, " ", player.scene);
    } else if (status == PAGELOOM_CUE) {
        say("0 MARK ", CUE, " ", player.cue);
    } else if (status == PAGELOOM_FAULT) {
        say("0 MARK ", EVENT, " ", FAULTY);
    }
}

/* One call of the player; with STACK nothing is told, since that takes more stack than the player. */
static uint8_t play(uint16_t now)
{
    uint8_t status = pageloom_tick(&player, now, ALLOWANCE);

#ifdef STACK
    (void)tell;
#else
    tell(status);
#endif
    if (status == PAGELOOM_FAULT) {
        pageloom_restart(&player);
    }
    return status;
}

static void raise_now_and_then(void)
{
    static const uint8_t triggers[4] = { 0, 2, 1, 2 };
    static unsigned calls, next = 12000;
    static uint8_t turn;

    if (++calls == next) {
        next += 2000 + calls % LONGEST_TRIGGER_PAUSE;
        say("0 MARK ", EVENT, " ", triggers[turn % 4]);
        pageloom_trigger(&player, triggers[turn++ % 4]);
    }
}

int main(void)
{
    uint8_t *here = __builtin_frame_address(0), *painted;
    uint16_t now = 0;

    for (painted = &bss_end; painted < here - 64; painted++) {
        *painted = PAINT;
    }
    bus_begin();
    pageloom_start(&player, helm_reel, HELM_REEL_SIZE);
    while (now < LAST_MILLISECOND) {
        if (play(now) == PAGELOOM_IDLE) {
            now++;
        }
#ifdef TRIGGERS
        raise_now_and_then();
#else
        (void)raise_now_and_then;
#endif
    }
    for (painted = &bss_end; *painted == PAINT; painted++) {
    }
    say("RAM state=", sizeof player, " stack=", (unsigned)(here - painted));
    ask(EXIT, (const void *)EXITED_WELL);
    return 0;
}
