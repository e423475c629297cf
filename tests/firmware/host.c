/*
 * host.c - the C player on this machine, driven by lines on standard input; prints what goes over the bus.
 *
 *     reel HEX            starts a player on these bytes
 *     tick NOW ALLOWANCE  one call; prints its transactions, then what it came to
 *     trigger ID          raises a trigger
 *     set LIVE VALUE      sets a live value
 *     restart             sets up anew
 *     fail stop           the next stop reports that a byte of its transaction was refused
 *     refuse N            the Nth byte from here, addresses counted, is not acknowledged
 *
 * A transaction is printed as "3C< 40 01 02 >"; "!" stands behind a refused byte. A second start without a stop, or a
 * byte outside a transaction, prints "MALFORMED" and ends the program with 1.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include "player.h"

static int open_now;
static int fail_stop;
static long refuse_in;

static uint8_t acknowledge(void)
{
    if (refuse_in > 0 && --refuse_in == 0) {
        printf("!");
        return 0;
    }
    return 1;
}

static void require(int condition)
{
    if (!condition) {
        printf("MALFORMED\n");
        exit(1);
    }
}

uint8_t pageloom_bus_start(uint8_t address)
{
    require(!open_now);
    open_now = 1;
    printf("%02X<", (unsigned)address);
    return acknowledge();
}

uint8_t pageloom_bus_write(uint8_t byte)
{
    require(open_now);
    printf(" %02X", (unsigned)byte);
    return acknowledge();
}

uint8_t pageloom_bus_stop(void)
{
    uint8_t good = !fail_stop;

    require(open_now);
    open_now = 0;
    fail_stop = 0;
    printf(good ? " >\n" : " !>\n");
    return good;
}

static uint8_t *read_reel(const char *hex, uint16_t *size)
{
    size_t count = strspn(hex, "0123456789ABCDEFabcdef") / 2, at;
    uint8_t *bytes = malloc(count + 1);

    if (bytes == NULL) {
        exit(2);
    }
    for (at = 0; at < count; at++) {
        unsigned value = 0;

        if (sscanf(hex + 2 * at, "%2x", &value) != 1) {
            exit(2);
        }
        bytes[at] = (uint8_t)value;
    }
    *size = (uint16_t)count;
    return realloc(bytes, count > 0 ? count : 1); /* no byte more, so that a checked build sees reading beyond */
}

static void tick(pageloom_player *player, unsigned now, unsigned allowance)
{
    uint8_t status = pageloom_tick(player, (uint16_t)now, (uint8_t)allowance);

    require(!open_now);
    switch (status) {
    case PAGELOOM_IDLE:
        printf("idle");
        break;
    case PAGELOOM_BUSY:
        printf("busy");
        break;
    case PAGELOOM_CUE:
        printf("cue %u", (unsigned)player->cue);
        break;
    default:
        printf("fault\n");
        return;
    }
    printf(" scene %u\n", (unsigned)player->scene);
}

int main(void)
{
    static char line[160000];
    pageloom_player player;
    uint8_t *reel = NULL;
    uint16_t size = 0;

    while (fgets(line, sizeof line, stdin) != NULL) {
        unsigned first = 0, second = 0;
#ifdef PAGELOOM_LIVE
        int value = 0;
#endif

        if (strncmp(line, "reel ", 5) == 0) {
            free(reel);
            reel = read_reel(line + 5, &size);
            memset(&player, 0xA5, sizeof player); /* a start must not rely on what stood there */
            open_now = 0;
            fail_stop = 0;
            refuse_in = 0;
            pageloom_start(&player, reel, size);
        } else if (sscanf(line, "tick %u %u", &first, &second) == 2) {
            tick(&player, first, second);
        } else if (sscanf(line, "trigger %u", &first) == 1) {
            pageloom_trigger(&player, (uint8_t)first);
#ifdef PAGELOOM_LIVE
        } else if (sscanf(line, "set %u %d", &first, &value) == 2) {
            pageloom_set(&player, (uint8_t)first, (int16_t)value);
#endif
        } else if (strncmp(line, "restart", 7) == 0) {
            pageloom_restart(&player);
        } else if (strncmp(line, "fail stop", 9) == 0) {
            fail_stop = 1;
        } else if (sscanf(line, "refuse %u", &first) == 1) {
            refuse_in = (long)first;
        } else {
            fprintf(stderr, "unknown line: %s", line);
            return 2;
        }
    }
    free(reel);
    return 0;
}
