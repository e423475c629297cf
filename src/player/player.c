/* player.c - interprets a reel and sends it to the display; player.h says how to use it. */
#include "player.h"

#ifndef PAGELOOM_DRAWS
/* The state takes at most 64 bytes on 8-bit parts and 72 on 32-bit ones. Each area and each live value takes more. */
#if !defined PAGELOOM_AREAS && !defined PAGELOOM_LIVE
typedef char pageloom_state_is_small[sizeof(pageloom_player) <= (sizeof(void *) > 2 ? 72 : 64) || sizeof(void *) > 4 ? 1 : -1];
#endif
#endif

#include "reel.c"
#include "bus.c"
#include "beam.c"
#include "change.c"
#include "turn.c"
#include "roll.c"
#include "live.c"
#include "area.c"
#include "walk.c"
#include "copy.c"
#include "lean.c"
#include "dim.c"

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

#include "round.c"

#ifdef PAGELOOM_AREAS
/* Continues after the areas with the rest of the frame, if there is any. */
static uint8_t leave_walk(pageloom_player *player)
{
    uint8_t opened = player->phase == OPENING_AREAS;

    player->phase = SENDING;
    return opened || player->waits == 0 ? GO_ON : frame_ends(player, WAITING, (uint8_t)(player->waits - 1));
}
#endif

#ifdef PAGELOOM_DRAWS
/* Sets bytes to 0. */
static APART void blank(uint8_t *from, uint16_t count)
{
    for (; count > 0; count--) {
        *from++ = 0;
    }
}
#endif

#ifdef PAGELOOM_DRAWS
#ifdef PAGELOOM_DENSE
#include "dense.c"
#endif
#ifdef PAGELOOM_FILM
#include "film.c"
#endif

/* Reads the operands of an instruction that opens a model or a stream. */
static uint8_t open_copy(pageloom_player *player, uint8_t operation)
{
#ifdef PAGELOOM_FILM
    if (operation == OP_FILM) {
        player->is_film = 1;
    }
#ifdef PAGELOOM_DENSE
    if (operation == OP_MODEL) {
        player->is_film = 0;
    }
    if (!player->is_film) {
        return open_stream(player, operation);
    }
#endif
    return operation == OP_MODEL || IS_OF_BEAM(operation) ? PAGELOOM_FAULT : open_film(player, operation);
#else
    return open_stream(player, operation);
#endif
}

/* Returns whether a model was read. Without one nothing is drawn. */
static uint8_t can_draw(const pageloom_player *player)
{
#ifdef PAGELOOM_FILM
    if (player->is_film) {
        return player->copy.film.has_model;
    }
#endif
#ifdef PAGELOOM_DENSE
    return player->copy.picture.has_model;
#else
    return 0;
#endif
}

/* Draws a part of a frame. */
static uint8_t draw_on_copy(pageloom_player *player)
{
#ifdef PAGELOOM_FILM
#ifdef PAGELOOM_DENSE
    return player->is_film ? draw_film(player) : draw(player);
#else
    return draw_film(player);
#endif
#else
    return draw(player);
#endif
}
#endif

/* Returns the scene that `target` means, or NONE. */
static APART uint8_t resolve(const pageloom_player *player, uint8_t target)
{
    if (target == BACK) {
        target = player->former;
    }
    return target < player->header[HEADER_SCENES] ? target : NONE;
}

static void enter(pageloom_player *player, uint8_t scene)
{
    player->scene = scene;
#ifdef PAGELOOM_FIELDS
    player->entries++;
#endif
#ifdef PAGELOOM_DRAWS
    player->draws = 0;
#endif
#ifdef PAGELOOM_TURNS
    player->waits = 0; /* until the frame ends, only a beam uses this field */
#endif
#ifdef PAGELOOM_LEAN
    player->depth = 0;
    player->repeats = 0;
#endif
    END_ROUND(player);
    END_AREAS(player);
    END_DIMMING(player);
    player->at = (uint16_t)(TABLES + 2 * scene);
    player->at = next_word(player);
}

/* Plays one instruction. */
static APART_IF_DENSE uint8_t step(pageloom_player *player)
{
    uint8_t operation, operand;

#ifdef PAGELOOM_LEAN
    come_back(player);
#endif
    operation = next_byte(player);
#ifdef PAGELOOM_ROUNDS
    if (operation == OP_ROUND) {
        return begin_round(player);
    }
#endif

#ifdef PAGELOOM_DRAWS
    if (operation == OP_DRAW) {
        player->draws = next_byte(player);
        return can_draw(player) ? GO_ON : PAGELOOM_FAULT;
    }
    if ((operation >= OP_MODEL && operation <= OP_CLEARED) || IS_OF_BEAM(operation) || IS_FILM(operation)) {
        return open_copy(player, operation);
    }
#endif
#ifdef PAGELOOM_AREAS
    if (IS_AREAS(operation)) {
        return begin_areas(player, operation);
    }
#endif
#ifdef PAGELOOM_DIMS
    if (operation == OP_CONTRAST) {
        return begin_dimming(player);
    }
#endif
#ifdef PAGELOOM_LEAN
    if (operation > OP_REPEAT && !IS_CHANGES(operation) && !IS_TURN(operation)
        && !IS_ROLL(operation)) {
        return short_form(player, operation);
    }
#endif
    if (operation == OP_JUMP) {
        player->at = next_word(player);
        return GO_ON;
    }
    if (operation == OP_FRAME || operation == OP_HOLD) {
#ifdef PAGELOOM_ROUNDS
        if (player->phase == IN_ROUND) {
            return leave_round(player);
        }
#endif
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
        operand = resolve(player, operand);
        if (operand == NONE) {
            return PAGELOOM_FAULT;
        }
        enter(player, operand);
        return GO_ON;
    }
    if (operation == OP_CUE) {
        player->cue = operand;
        return PAGELOOM_CUE;
    }
    if (operation == OP_COMMANDS) {
        return commands(player, operand);
    }
#if defined PAGELOOM_TURNS || defined PAGELOOM_ROLLS
    if (operation >= OP_OPEN_BEAM && operation <= OP_ROLL && player->phase != SENDING) {
        return PAGELOOM_FAULT; /* a part that repeats uses `waits`, which these need too */
    }
#endif
#ifdef PAGELOOM_TURNS
    if (IS_TURN(operation)) {
        return begin_turn(player, operation, operand);
    }
#endif
#ifdef PAGELOOM_ROLLS
    if (IS_ROLL(operation)) {
        return begin_roll(player, operation, operand);
    }
#endif
#ifdef PAGELOOM_LEAN
    if (operation == OP_LINE) {
        return line(player, operand);
    }
    return far_form(player, operation, operand);
#else
    return PAGELOOM_FAULT;
#endif
}

/* Handles the trigger that was raised last. Returns whether there was one. */
static uint8_t react(pageloom_player *player)
{
    uint8_t count, target;

    do { /* an interrupt may raise a trigger while these fields are read */
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

/* Returns, between frames, whether something is to be sent now. */
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
    FRAME_DIMS(player);
#ifdef PAGELOOM_ROUNDS
    if (player->round > 0) {
        enter_round(player);
        return 1;
    }
#endif
#ifdef PAGELOOM_AREAS
    if (player->count > 0 && advance_areas(player)) {
        player->phase = WALKING;
        return 1;
    }
#endif
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
    uint8_t *header = player->header;
    volatile uint8_t *state = (volatile uint8_t *)player;
    uint16_t left = sizeof *player;

    for (; left > 0; left--) { /* the memory may have held anything */
        *state++ = 0;
    }
    player->reel = reel;
    player->reel_size = reel_size;
    if (next_byte(player) != PAGELOOM_REEL_VERSION) {
        player->reel_size = 0; /* this makes the first instruction a fault */
    }
    do {
        *header++ = next_byte(player);
    } while (player->at <= PAGELOOM_HEADER);
    if (player->header[HEADER_WRITE_LIMIT] < 3 || player->header[HEADER_START] >= player->header[HEADER_SCENES]) {
        player->reel_size = 0;
    }
    player->scene = player->header[HEADER_START];
    player->former = player->scene;
#ifdef PAGELOOM_LIVE
    start_live(player);
#endif
    pageloom_restart(player);
}

void pageloom_restart(pageloom_player *player)
{
    player->at = SET_UP_OFFSET;
    player->at = next_word(player);
#ifdef PAGELOOM_LEAN
    player->depth = 0;
    player->line = 0;
    player->data_left = 0;
#endif
#ifdef PAGELOOM_DRAWS
    player->draws = 0;
#endif
    END_ROUND(player);
    END_AREAS(player);
    END_DIMMING(player);
    player->phase = SET_UP;
}

void pageloom_trigger(pageloom_player *player, uint8_t trigger)
{
    uint8_t triggers = player->header[HEADER_TRIGGERS], target;

    if (trigger < triggers) {
        target = resolve(player, byte_at(player, (uint16_t)(TABLES + 2 * player->header[HEADER_SCENES]
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
#ifdef PAGELOOM_DIMS
        } else if (player->dims != UP_TO_DATE) {
            status = dim(player);
#endif
        } else if (player->phase > SENDING) {
            if (!ready(player, now_ms)) {
                status = PAGELOOM_IDLE;
            }
#ifdef PAGELOOM_AREAS
        } else if (WALKS(player)) {
            status = walk(player);
            if (status == FOUND_ALL) {
                status = leave_walk(player);
            }
#endif
#ifdef PAGELOOM_LEAN
        } else if (player->data_left > 0) {
            status = send_data(player);
#endif
#ifdef PAGELOOM_DRAWS
        } else if (player->draws > 0) {
            status = draw_on_copy(player);
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

#ifdef PAGELOOM_FIELDS
#include "field.c"
#endif

#ifdef PAGELOOM_LAMPS
#include "lamp.c"
#endif

#ifdef PAGELOOM_THRESHOLDS
#include "threshold.c"
#endif

#ifdef PAGELOOM_SUPERVISOR
#include "supervise.c"
#endif
