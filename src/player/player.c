/* player.c - interprets a reel and sends it to the display; player.h says how to use it. */
#include "player.h"

#ifndef PAGELOOM_DENSE
typedef char pageloom_state_takes_at_most_64_bytes[sizeof(pageloom_player) <= 64 ? 1 : -1];
#endif

/* What the player is about. Up to SENDING there is something to send. */
enum { SET_UP, SENDING, READY, WAITING, HELD, FAULT };

/* Beside the public codes: an instruction is done and the next may follow. */
enum { GO_ON = PAGELOOM_FAULT + 1 };

enum { BACK = 0xFE, NONE = 0xFF, LATEST_MILLISECONDS = 256, MOST_COMMAND_BYTES = PAGELOOM_SMALLEST_ALLOWANCE - 2 };

/* Control bytes: what the bytes of a transaction are. */
enum { COMMANDS = 0x00, DATA = 0x40 };

/* The controller's command for the start line, to which the row is added. */
enum { START_LINE = 0x40 };

/* Offsets in the reel's header. */
enum {
    HEADER_VERSION = 0,
    HEADER_ADDRESS = 1,
    HEADER_WRITE_LIMIT = 2,
    HEADER_PERIOD = 3,
    HEADER_FRACTION = 5,
    HEADER_SCENES = 6,
    HEADER_TRIGGERS = 7,
    HEADER_START = 8,
    HEADER_SET_UP = 9,
    HEADER_TABLES = 11
};

/* Instructions; those with a count have it in their low bits. */
enum {
    OP_FRAME = 0x00,
    OP_WAIT = 0x01,
    OP_HOLD = 0x02,
    OP_JUMP = 0x03,
    OP_SCENE = 0x04,
    OP_CUE = 0x05,
    OP_COMMANDS = 0x06,
    OP_PLAY = 0x07,
    OP_PLAY_LONG = 0x08,
    OP_SET_UP_ENDS = 0x09,
    OP_COPY = 0x0A,
    OP_TAKE = 0x0B,
    OP_ONWARD = 0x0C,
    OP_LINE = 0x0D,
    OP_REPEAT = 0x0E,
    OP_DRAW = 0x0F,
    OP_MODEL = 0x10,
    OP_KEY = 0x11,
    OP_AGAIN = 0x12,
    OP_CLEARED = 0x13,
    OP_LITERAL = 0x20,
    OP_FILL = 0x40,
    OP_ZERO = 0x60,
    OP_SEEK = 0x80,
    OP_END = 0x90
};

/* Marks what is kept as one copy, not pasted into its callers: that halves the code on 8-bit parts. */
#ifdef __GNUC__
#define APART __attribute__((noinline))
#else
#define APART
#endif

/* Whether frames are being drawn, so that what is sent is of no instruction; and what is apart for the sake of drawing. */
#ifdef PAGELOOM_DENSE
#define DRAWS(player) ((player)->draws > 0)
#define APART_IF_DENSE APART
#else
#define DRAWS(player) 0
#define APART_IF_DENSE
#endif

/* A byte of the reel; beyond its end an unknown instruction, so a reel that is cut short ends as a fault. */
static APART uint8_t byte_at(const pageloom_player *player, uint16_t at)
{
    if (at >= player->reel_size) {
        return NONE;
    }
    return PAGELOOM_READ(player->reel + at);
}

static uint8_t next_byte(pageloom_player *player)
{
    return byte_at(player, player->at++);
}

static APART uint16_t next_word(pageloom_player *player)
{
    uint8_t low = next_byte(player);

    return (uint16_t)(low | (uint16_t)next_byte(player) << 8);
}

static uint16_t header_word(const pageloom_player *player, uint8_t at)
{
    return (uint16_t)(player->header[at] | (uint16_t)player->header[at + 1] << 8);
}

/* Closes the transaction if one is open; GO_ON unless a byte of it was refused, which is a fault. */
static uint8_t close_transaction(pageloom_player *player)
{
    player->room = 0;
    if (player->open) {
        player->open = 0;
        if (!pageloom_bus_stop()) {
            return PAGELOOM_FAULT;
        }
    }
    return GO_ON;
}

/* Opens a transaction if `bytes` more fit the allowance after address and control byte; GO_ON if it is open. */
static uint8_t begin(pageloom_player *player, uint8_t control, uint8_t bytes)
{
    if (close_transaction(player) != GO_ON) {
        return PAGELOOM_FAULT;
    }
    bytes = (uint8_t)(bytes + 2);
    if (player->allowed < bytes) {
        if (control == COMMANDS && !DRAWS(player)) {
            player->at = (uint16_t)(player->at - 2); /* the whole instruction once more in the next tick */
#ifdef PAGELOOM_LEAN
            player->data_left = 0;
#endif
        }
        return PAGELOOM_BUSY;
    }
    player->allowed = (uint8_t)(player->allowed - 2);
    player->open = 1;
    if (!pageloom_bus_start(player->header[HEADER_ADDRESS]) || !pageloom_bus_write(control)) {
        return PAGELOOM_FAULT;
    }
    return GO_ON;
}

/* How many data bytes the transaction just begun may take, by the allowance and the write limit. */
static void make_room(pageloom_player *player)
{
    player->room = (uint8_t)(player->header[HEADER_WRITE_LIMIT] - 1);
    if (player->room > player->allowed) {
        player->room = player->allowed;
    }
}

#ifdef PAGELOOM_LEAN
/* `count` bytes from offset `from` are to be sent; they must lie inside the reel. */
static APART uint8_t take(pageloom_player *player, uint16_t from, uint8_t count)
{
    player->filling = 0;
    player->copy_from = from;
    player->data_left = count;
    if (from > player->reel_size || count > player->reel_size - from) {
        return PAGELOOM_FAULT;
    }
    return GO_ON;
}

/* Sends what is left of the bytes taken, as far as the open transaction has room. */
static uint8_t pour(pageloom_player *player)
{
    const uint8_t *from = player->reel + player->copy_from;
    uint8_t count = player->data_left;

    if (count > player->room) {
        count = player->room;
    }
    player->data_left = (uint8_t)(player->data_left - count);
    player->room = (uint8_t)(player->room - count);
    player->allowed = (uint8_t)(player->allowed - count);
    player->copy_from = (uint16_t)(player->copy_from + count);
    for (; count > 0; count--) {
        uint8_t byte = player->filling ? player->fill : PAGELOOM_READ(from++);

        if (!pageloom_bus_write(byte)) {
            return PAGELOOM_FAULT;
        }
    }
    return GO_ON;
}

/* As much data as the allowance and the write limit let through. */
static uint8_t send_data(pageloom_player *player)
{
    if (player->room == 0) {
        uint8_t status = begin(player, DATA, 1);

        if (status != GO_ON) {
            return status;
        }
        make_room(player);
    }
    return pour(player);
}

/* What was taken or is to be filled in, as one transaction of commands that must not be split. */
static uint8_t group(pageloom_player *player, uint8_t count)
{
    uint8_t status = begin(player, COMMANDS, count);

    if (status == GO_ON) {
        player->room = count;
        status = pour(player); /* whatever comes next closes the transaction */
    }
    return status;
}

/* A group of commands from the reel. */
static APART uint8_t commands(pageloom_player *player, uint8_t count)
{
    uint8_t status = PAGELOOM_FAULT;

    if (count <= MOST_COMMAND_BYTES) {
        status = take(player, player->at, count);
    }
    if (status == GO_ON) {
        status = group(player, count);
    }
    if (status == GO_ON) {
        player->at = (uint16_t)(player->at + count);
    }
    return status;
}

/* One value so many times. */
static uint8_t fill(pageloom_player *player, uint8_t value, uint8_t count)
{
    player->filling = 1;
    player->fill = value;
    player->data_left = count;
    return GO_ON;
}

/* The start line: set, or moved from where the reel last set it. */
static uint8_t line(pageloom_player *player, uint8_t rows)
{
    uint8_t status;

    if (rows < 0x80) {
        rows = (uint8_t)(player->line + rows);
    }
    rows &= 63;
    (void)fill(player, START_LINE | rows, 1);
    status = group(player, 1);
    if (status != PAGELOOM_BUSY) {
        player->line = rows;
    }
    return status;
}
#endif

#ifdef PAGELOOM_DENSE
/* A byte of the open transaction. */
static APART uint8_t send_byte(pageloom_player *player, uint8_t byte)
{
    player->allowed--;
    return pageloom_bus_write(byte) ? GO_ON : PAGELOOM_FAULT;
}
#endif

#ifndef PAGELOOM_LEAN
/* A group of commands from the reel. */
static uint8_t commands(pageloom_player *player, uint8_t count)
{
    uint8_t status = PAGELOOM_FAULT;

    if (count <= MOST_COMMAND_BYTES && player->at <= player->reel_size && count <= player->reel_size - player->at) {
        status = begin(player, COMMANDS, count);
    }
    for (; count > 0 && status == GO_ON; count--) {
        status = send_byte(player, next_byte(player));
    }
    return status;
}
#endif

/* A page and a column as one transaction of three commands. */
static uint8_t seek(pageloom_player *player, uint8_t page, uint8_t column)
{
    uint8_t status = begin(player, COMMANDS, 3);

    if (status == GO_ON) {
        player->allowed = (uint8_t)(player->allowed - 3);
        status = PAGELOOM_FAULT;
        if (pageloom_bus_write(page) && pageloom_bus_write(column & 15)
            && pageloom_bus_write((uint8_t)(0x10 | column >> 4))) {
            status = GO_ON;
        }
    }
    return status;
}

static APART void next_due(pageloom_player *player)
{
    uint8_t before = player->fraction;

    player->fraction = (uint8_t)(before + player->header[HEADER_FRACTION]);
    player->due = (uint16_t)(player->due + header_word(player, HEADER_PERIOD));
    if (player->fraction < before) {
        player->due++;
    }
}

static uint8_t frame_ends(pageloom_player *player, uint8_t phase, uint8_t waits)
{
    player->phase = phase;
    player->waits = waits;
    next_due(player);
    return close_transaction(player);
}

#ifdef PAGELOOM_DENSE
static void begin_picture(pageloom_player *player);
static APART uint8_t draw(pageloom_player *player);
static uint8_t open_stream(pageloom_player *player, uint8_t operation);
#endif

/* The scene that `target` means; NONE if there is none. */
static APART uint8_t resolve(const pageloom_player *player, uint8_t target)
{
    if (target == BACK) {
        target = player->former;
    }
    return target < player->header[HEADER_SCENES] ? target : NONE;
}

static uint8_t enter(pageloom_player *player, uint8_t scene)
{
    if (scene == NONE) {
        return PAGELOOM_FAULT;
    }
    player->scene = scene;
#ifdef PAGELOOM_FIELDS
    player->entries++;
#endif
#ifdef PAGELOOM_DENSE
    player->draws = 0;
#endif
    player->waits = 0;
#ifdef PAGELOOM_LEAN
    player->depth = 0;
    player->laps = 0;
#endif
    player->at = (uint16_t)(HEADER_TABLES + 2 * scene);
    player->at = next_word(player);
    return GO_ON;
}

#ifdef PAGELOOM_LEAN
/* Plays a stretch of earlier instructions, then comes back. */
static uint8_t play(pageloom_player *player, uint16_t length, uint16_t target)
{
    uint8_t level = player->depth;

    if (level >= PAGELOOM_LEVELS || length == 0) {
        return PAGELOOM_FAULT;
    }
    player->depth = (uint8_t)(level + 1);
    player->returns[level] = player->at;
    player->ends[level] = (uint16_t)(target + length);
    player->at = target;
    return GO_ON;
}

/* An instruction with a count and an offset in the reel. */
static uint8_t far_form(pageloom_player *player, uint8_t operation, uint8_t count)
{
    uint8_t high = operation == OP_PLAY_LONG ? next_byte(player) : 0;
    uint16_t from = next_word(player);

    if (operation <= OP_PLAY_LONG) {
        return play(player, (uint16_t)(count | (uint16_t)high << 8), from);
    }
    if (operation == OP_REPEAT) {
        if (player->laps < count) {
            player->laps++;
            player->at = from;
        } else {
            player->laps = 0;
        }
        return GO_ON;
    }
    if (operation != OP_COPY) {
        if (operation == OP_ONWARD) {
            from = (uint16_t)(from + player->strip);
        }
        player->strip = from;
    }
    return take(player, from, count);
}

/* An instruction whose low bits say how many bytes, or which page. */
static uint8_t short_form(pageloom_player *player, uint8_t operation)
{
    uint8_t count = (uint8_t)((operation & 31) + 1);

    if (operation >= OP_END || operation < OP_LITERAL) {
        return PAGELOOM_FAULT;
    }
    if (operation >= OP_SEEK) {
        return seek(player, (uint8_t)(operation + (0xB0 - OP_SEEK)), next_byte(player));
    }
    if (operation < OP_FILL) {
        uint16_t from = player->at;

        player->at = (uint16_t)(from + count);
        return take(player, from, count);
    }
    return fill(player, operation < OP_ZERO ? next_byte(player) : 0, count);
}

/* Leaves the stretches that are played to their ends. */
static void come_back(pageloom_player *player)
{
    uint8_t level;

    while (player->depth > 0) {
        level = (uint8_t)(player->depth - 1);
        if (player->at != player->ends[level]) {
            return;
        }
        player->at = player->returns[level];
        player->depth = level;
    }
}

#endif

/* One instruction. */
static APART_IF_DENSE uint8_t step(pageloom_player *player)
{
    uint8_t operation, operand;

#ifdef PAGELOOM_LEAN
    come_back(player);
#endif
    operation = next_byte(player);

#ifdef PAGELOOM_DENSE
    if (operation == OP_DRAW) {
        player->draws = next_byte(player);
        return GO_ON;
    }
    if (operation >= OP_MODEL && operation <= OP_CLEARED) {
        return open_stream(player, operation);
    }
#endif
#ifdef PAGELOOM_LEAN
    if (operation > OP_REPEAT) {
        return short_form(player, operation);
    }
#endif
    if (operation == OP_JUMP) {
        player->at = next_word(player);
        return GO_ON;
    }
    if (operation == OP_FRAME || operation == OP_HOLD) {
        return frame_ends(player, (uint8_t)(WAITING + (operation >> 1)), 0);
    }
    if (operation == OP_SET_UP_ENDS) {
        operand = player->phase;
        player->phase = READY;
        return operand == SET_UP ? GO_ON : PAGELOOM_FAULT;
    }
    operand = next_byte(player);
    if (operation == OP_WAIT) {
        return frame_ends(player, WAITING, operand);
    }
    if (operation == OP_SCENE) {
        return enter(player, resolve(player, operand));
    }
    if (operation == OP_CUE) {
        player->cue = operand;
        return PAGELOOM_CUE;
    }
    if (operation == OP_COMMANDS) {
        return commands(player, operand);
    }
#ifdef PAGELOOM_LEAN
    if (operation == OP_LINE) {
        return line(player, operand);
    }
    return far_form(player, operation, operand);
#else
    return PAGELOOM_FAULT;
#endif
}

/* Takes up the trigger last raised; whether there was one. */
static uint8_t react(pageloom_player *player)
{
    uint8_t count, target;

    do { /* an interrupt may raise one more between the two readings */
        count = player->raised;
        target = player->pending;
    } while (count != player->raised);
    if (count == player->taken) {
        return 0;
    }
    player->taken = count;
    if (target != player->scene) {
        player->former = player->scene;
    }
    player->scene = target;
    return 1;
}

/* Between frames: whether something is to be done now. */
static uint8_t ready(pageloom_player *player, uint16_t now)
{
    uint16_t late;

    if (player->phase == READY || react(player)) {
        player->due = now;
        player->fraction = 0;
        player->phase = SENDING;
        enter(player, player->scene);
        return 1;
    }
    late = (uint16_t)(now - player->due);
    if (player->phase == HELD || late >= 0x8000u) {
        return 0;
    }
    if (late > LATEST_MILLISECONDS) {
        player->due = now;
    }
    if (player->waits > 0) {
        player->waits--;
        next_due(player);
    } else {
        player->phase = SENDING;
    }
    return 1;
}

void pageloom_start(pageloom_player *player, const uint8_t *reel, uint16_t reel_size)
{
    uint8_t at;

    player->reel = reel;
    player->reel_size = reel_size;
    for (at = 0; at < PAGELOOM_HEADER; at++) {
        player->header[at] = byte_at(player, at);
    }
    if (player->header[HEADER_VERSION] != PAGELOOM_REEL_VERSION || player->header[HEADER_WRITE_LIMIT] < 3
        || player->header[HEADER_START] >= player->header[HEADER_SCENES]) {
        player->reel_size = 0; /* so the first instruction is a fault */
    }
    player->scene = player->header[HEADER_START];
    player->former = player->scene;
    player->raised = 0;
    player->taken = 0;
#ifdef PAGELOOM_LEAN
    player->strip = 0;
    player->laps = 0;
#endif
#ifdef PAGELOOM_DENSE
    begin_picture(player);
#endif
    player->room = 0;
    player->open = 0;
    pageloom_restart(player);
}

void pageloom_restart(pageloom_player *player)
{
    player->at = header_word(player, HEADER_SET_UP);
#ifdef PAGELOOM_LEAN
    player->depth = 0;
    player->line = 0;
    player->data_left = 0;
#endif
#ifdef PAGELOOM_DENSE
    player->draws = 0;
#endif
    player->phase = SET_UP;
}

void pageloom_trigger(pageloom_player *player, uint8_t trigger)
{
    uint8_t triggers = player->header[HEADER_TRIGGERS], target;

    if (trigger < triggers) {
        target = resolve(player, byte_at(player, (uint16_t)(HEADER_TABLES + 2 * player->header[HEADER_SCENES]
                                                            + player->scene * triggers + trigger)));
        if (target != NONE) {
            player->pending = target;
            player->raised++;
        }
    }
}

uint8_t pageloom_tick(pageloom_player *player, uint16_t now_ms, uint8_t allowance)
{
    uint8_t status = GO_ON, steps;

    if (allowance < PAGELOOM_SMALLEST_ALLOWANCE) {
        allowance = PAGELOOM_SMALLEST_ALLOWANCE;
    }
    player->allowed = allowance;
    for (steps = allowance; steps > 0 && status == GO_ON; steps--) {
        if (player->phase == FAULT) {
            status = PAGELOOM_FAULT;
        } else if (player->phase > SENDING) {
            if (!ready(player, now_ms)) {
                status = PAGELOOM_IDLE;
            }
#ifdef PAGELOOM_LEAN
        } else if (player->data_left > 0) {
            status = send_data(player);
#endif
#ifdef PAGELOOM_DENSE
        } else if (player->draws > 0) {
            status = draw(player);
#endif
        } else {
            status = step(player);
        }
    }
    if (close_transaction(player) != GO_ON || status == PAGELOOM_FAULT) {
        player->phase = FAULT;
        return PAGELOOM_FAULT;
    }
    return status == GO_ON ? PAGELOOM_BUSY : status;
}
