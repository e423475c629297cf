/*
 * player.h - plays compiled shows (reels) on a page-ordered monochrome display, a few bytes at a time. It is the same for
 * every show; config.h says which parts of it the shows of a firmware need.
 *
 * C99, no heap, no picture copy. State on an 8-bit AVR: 55 bytes; with areas 71, and 8 more for each further area. It never
 * waits: call pageloom_tick from the main loop. It sends at most the bytes that you allow, then returns. No transaction stays
 * open between two calls.
 *
 *     static pageloom_player player;
 *     pageloom_start(&player, helm_reel, HELM_REEL_SIZE);
 *     for (;;) {
 *         switch (pageloom_tick(&player, milliseconds(), 16)) {
 *         case PAGELOOM_CUE:   act_on(player.cue); break;
 *         case PAGELOOM_FAULT: free_the_bus(); pageloom_restart(&player); break;
 *         default:             break;
 *         }
 *         the_rest_of_the_loop();
 *     }
 *
 * The firmware supplies the three bus functions below. One transaction on the wire, A = acknowledged by the display:
 *
 *     START  address+W  A  control  A  byte  A  byte  A ...  STOP
 *     bus_start(address)   bus_write   bus_write  bus_write  bus_stop()
 *
 * On SPI, for shows that say so (PAGELOOM_SPI), without address, control byte and acknowledge:
 *
 *     D/C, chip select low    byte       byte ...   chip select high
 *     bus_select(data)      bus_write  bus_write    bus_stop()
 *
 * Where the format of the reel leaves a choice, this player and the one in Rust do the same:
 *  - a trigger that the scene ignores is dropped when it is raised, so that it cannot displace one that counts;
 *  - a trigger that leads to the scene already playing starts it anew and does not change what "back" means;
 *  - "back" before any trigger was followed means the start scene;
 *  - a tick takes at most as many steps as it may send bytes, so that a reel of empty instructions cannot hold
 *    the loop; it then says PAGELOOM_BUSY;
 *  - a literal or copy that reaches beyond the reel, an unknown instruction, a fifth level of repeated instructions,
 *    an empty one, more than ten command bytes and a second end of the set-up are faults of the reel: PAGELOOM_FAULT.
 *    So are a version, write limit or start scene that cannot be; with those pageloom_restart changes nothing.
 */
#ifndef PAGELOOM_PLAYER_H
#define PAGELOOM_PLAYER_H

#include <stdint.h>
#include "config.h"

/* Where constants live and how one byte of them is read. On AVR that is the first 64 KiB of flash. */
#ifndef PAGELOOM_FLASH
#ifdef __AVR__
#include <avr/pgmspace.h>
#define PAGELOOM_FLASH PROGMEM
#define PAGELOOM_READ(pointer) pgm_read_byte(pointer)
#define PAGELOOM_NEXT(pointer) pageloom_next_byte(&(pointer))
/* A byte of flash, and on to the next. */
static inline uint8_t pageloom_next_byte(const uint8_t **at)
{
    const uint8_t *from = *at;
    uint8_t byte;

    __asm__("lpm %0, Z+" : "=r"(byte), "+z"(from));
    *at = from;
    return byte;
}
#else
#define PAGELOOM_FLASH
#define PAGELOOM_READ(pointer) (*(pointer))
#endif
#endif

/* One byte of a constant, and on to the next. */
#ifndef PAGELOOM_NEXT
#define PAGELOOM_NEXT(pointer) PAGELOOM_READ((pointer)++)
#endif

#ifdef __cplusplus
extern "C" {
#endif

/* The version of the reel format that this player plays. */
#define PAGELOOM_REEL_VERSION 2
/* The fewest bytes one tick may be allowed, address and control bytes counted; a smaller allowance counts as this. */
#define PAGELOOM_SMALLEST_ALLOWANCE 12
/* Bytes of the reel's header behind the version that the player keeps. */
#define PAGELOOM_HEADER 8
/* How deep stretches that are played again may nest. */
#define PAGELOOM_LEVELS 4

/* What a tick came to. */
enum {
    PAGELOOM_IDLE,  /* the picture is whole; nothing to send until the next frame is due */
    PAGELOOM_BUSY,  /* the allowance is used up; there is more to send now */
    PAGELOOM_CUE,   /* the cue in player.cue is due; call pageloom_tick again for what follows */
    PAGELOOM_FAULT  /* the bus or the reel failed; nothing is sent until pageloom_restart */
};

/*
 * What follows from the parts that config.h defines; PAGELOOM_AREAS is how many areas a scene may have, PAGELOOM_LIVE
 * how many live values a show. A player without
 * PAGELOOM_LEAN has no instructions that send cells but those of dense reels and of areas.
 */
#if defined PAGELOOM_WINDOWS || defined PAGELOOM_BOTH || defined PAGELOOM_FIELDS
#define PAGELOOM_LEAN
#else
#undef PAGELOOM_CHANGES
#endif
#if defined PAGELOOM_LEAN && defined PAGELOOM_BEAM
#define PAGELOOM_TURNS
#endif
#ifndef PAGELOOM_LEAN
#undef PAGELOOM_ROLLS
#undef PAGELOOM_ROUNDS
#endif
#if defined PAGELOOM_CHANGES || defined PAGELOOM_TURNS || defined PAGELOOM_ROLLS || defined PAGELOOM_AREAS
#define PAGELOOM_SKIPS
#endif

#if defined PAGELOOM_DENSE || defined PAGELOOM_FILM
/* Frames are drawn on a copy of the picture. */
#define PAGELOOM_DRAWS
#endif

#ifdef PAGELOOM_DENSE
/* Decision trees, groups of eight features, and bytes of marks a page: one of them is never set. */
#define PAGELOOM_TREES 5
#define PAGELOOM_GROUPS 15
#define PAGELOOM_PAIR_LEAVES 8
#define PAGELOOM_MARKS ((PAGELOOM_COLUMNS + 7) / 8 + 1)
#endif

#ifdef PAGELOOM_BEAM
/* A beam that turns, in a show that has a sweep. */
typedef struct {
    const uint8_t *record; /* in flash: the column and row that it turns about, whether it turns the other way, for how many
                              bearings behind it anything may stay lit, and the square of its length in pixels */
    const uint8_t *limits; /* in flash: for each pixel of a 4x4 tile, for how many bearings behind the beam it stays lit */
    uint8_t now;           /* where it points in this frame, and did in the last one, in 1/256 of a turn */
    uint8_t last;
    uint8_t far;           /* cells from the one at hand on that it is known not to touch */
    uint8_t near;          /* cells that were looked at and are near it */
} pageloom_beam;
#endif

#ifdef PAGELOOM_DENSE
/* A copy of the picture and the place being drawn; all of it is the player's. */
typedef struct {
    const uint8_t *reel;
    const uint8_t *end;                   /* behind the reel's last byte, and where a node may begin at the latest */
    const uint8_t *last_node;
    const uint8_t *leaves;                /* the leaves of pairs, and the decision trees, in flash */
    const uint8_t *roots[PAGELOOM_TREES];
    uint16_t stream;                      /* offset of the next byte of the stream of choices */
    uint16_t low;                         /* state of the coder of choices: its low 16 bits, and the 8 above */
    uint8_t high;
    uint8_t numbers[8];                   /* column, page or row, scene; in the rest the frame's number, wrapping */
    uint8_t page;                         /* the place at hand */
    uint8_t *here;                        /* the cell there, and the mark byte and bit of it */
    uint8_t *mark;
    uint8_t bit;
    uint8_t facts;                        /* of the cell at hand, as far as they are known: how its left one changed, `key` */
    uint8_t key;                          /* whether the scene opens with this frame, as the fact of a cell */
    uint8_t predicts;                     /* whether movement or beam tell what cells become, for the eight at hand */
    uint8_t eight[8];
    uint8_t left;                         /* how far the picture moves a frame: columns to the left, rows up */
    uint8_t up;
    uint8_t stage;                        /* how far the drawing of a frame is */
    uint8_t pointer;                      /* column that the display's pointer stands at, in the page at hand */
    uint8_t cell[PAGELOOM_GROUPS];        /* what the trees look at for a cell, and for a pixel */
    uint8_t pixel[PAGELOOM_GROUPS];
    uint8_t marked[3];                    /* what comes after the marks in `cell`, and below the rows in `pixel` */
    uint8_t below[7];
    uint8_t was_still;                    /* whether the last frame changed nothing */
    uint8_t inverts;                      /* whether light and dark are exchanged with this frame, and whether they are */
    uint8_t inverted;
    uint8_t first_column;                 /* column of the display's memory that is the leftmost one seen */
    uint8_t has_model;
#ifdef PAGELOOM_BEAM
    uint8_t has_beam;
    pageloom_beam beam;
    uint16_t direction;                   /* where the beam points and how far it turns a frame, in 1/65536 of a turn */
    uint16_t turn;
#endif
    uint8_t marks[PAGELOOM_MARKS * (PAGELOOM_PAGES + 2) + 1]; /* cells that changed; none around the picture */
    uint8_t cells[PAGELOOM_COLUMNS * PAGELOOM_PAGES];         /* the picture, page by page */
} pageloom_picture;
#endif

#ifdef PAGELOOM_FILM
/* Tables that tell how likely the decisions of a film are, and bytes with a bit for each column, and one that is never set. */
#define PAGELOOM_TABLES 13
#define PAGELOOM_COLUMN_BYTES ((PAGELOOM_COLUMNS + 7) / 8 + 1)

/* A table of steps in flash, and which bits of a context count in it. */
typedef struct {
    const uint8_t *steps;
    uint8_t mask;
} pageloom_table;

/* The decoder of decisions: the next byte of their stream, and its state, lowest byte first. */
typedef struct {
    const uint8_t *stream;
    uint8_t low;
    uint8_t middle;
    uint8_t high;
} pageloom_decoder;

/* A copy of the picture for a film, and the place being drawn; all of it is the player's. */
typedef struct {
    pageloom_decoder decoder;
    const uint8_t *end;   /* behind the reel's last byte */
    uint8_t *here;        /* the cell at hand, its page as a number and as a bit, its column, and its bit of eight */
    uint8_t page;
    uint8_t page_bit;
    uint8_t column;
    uint8_t bit;
    uint8_t above;        /* which of the eight cells at hand changed in the page above */
    uint8_t change;       /* how the cell on the left changed, which before it did, and how it came to its value */
    uint8_t history;
    uint8_t kind;
    uint8_t key;          /* whether the scene opens with this frame, as the fact of a cell */
    uint8_t copies;       /* whether cells may become as the one on their left */
    uint8_t stage;        /* how far the drawing of a frame is */
    uint8_t pointer;      /* column that the display's pointer stands at, in the page at hand */
    uint8_t first_column; /* column of the display's memory that is the leftmost one seen */
    uint8_t has_model;
    pageloom_table tables[PAGELOOM_TABLES];
    uint8_t changed[PAGELOOM_COLUMN_BYTES]; /* cells that changed: of this page up to the place at hand, then of the one above */
    uint8_t busy[PAGELOOM_COLUMN_BYTES];    /* eights of cells that changed when last asked about, a bit for each page */
    uint8_t cells[PAGELOOM_COLUMNS * PAGELOOM_PAGES]; /* the picture, page by page */
} pageloom_film;
#endif

#ifdef PAGELOOM_DRAWS
/* What a reel is drawn on. */
typedef union {
#ifdef PAGELOOM_DENSE
    pageloom_picture picture;
#endif
#ifdef PAGELOOM_FILM
    pageloom_film film;
#endif
} pageloom_copy;
#endif

#ifdef PAGELOOM_AREAS
/* An area in the course of its scene. */
typedef struct {
    uint16_t course; /* offset of its next item */
    uint16_t phase;  /* in this frame, and in the one before */
    uint16_t former;
    uint8_t wait;    /* frames that it stays */
    uint8_t again;   /* how often the item comes again */
#ifdef PAGELOOM_LIVE
    uint16_t shown;  /* with what live values add */
#endif
} pageloom_area;
#endif

#ifdef PAGELOOM_LIVE
/* A live value as it is set, its step, and the step at which this frame is drawn. */
typedef struct {
    volatile int16_t value;
    volatile uint8_t step;
#ifdef PAGELOOM_AREAS
    uint8_t drawn;
#endif
} pageloom_live;
#endif

/* One player of one reel. Read `scene` and `cue`; leave the other fields to the player. */
typedef struct {
    const uint8_t *reel;               /* first byte of the reel, in flash */
    uint16_t reel_size;                /* bytes */
    uint16_t at;                       /* offset of the next instruction */
    uint16_t due;                      /* when the next frame is due, ms */
    uint8_t scene;                     /* the scene that plays */
    uint8_t former;                    /* the scene that the last trigger left */
    uint8_t cue;                       /* the cue that PAGELOOM_CUE speaks of */
    volatile uint8_t pending;          /* the scene that the trigger last raised leads to */
    volatile uint8_t raised;           /* counts triggers raised */
    uint8_t taken;                     /* the count up to which they were taken up */
    uint8_t entries;                   /* counts scenes entered, for fields */
    uint8_t phase;                     /* set-up, sending, waiting, held or fault */
#ifdef PAGELOOM_LEAN
    uint16_t copy_from;                /* offset of the next data byte of a literal or copy */
    uint16_t strip;                    /* where the last stretch taken from a strip began */
    uint16_t returns[PAGELOOM_LEVELS]; /* where to go on behind the stretches being played again */
    uint16_t ends[PAGELOOM_LEVELS];    /* where those stretches end */
#if defined PAGELOOM_TURNS || defined PAGELOOM_ROLLS
    uint16_t beam;                     /* offset of the record of the beam that turns, or of the roll */
#endif
#ifdef PAGELOOM_ROLLS
    uint16_t row;                      /* the row of the roll that is written next */
#endif
#ifdef PAGELOOM_ROUNDS
    uint16_t round;                    /* offset of the round's next stretch, 0 for none; while that is played, of the rest */
#endif
    uint8_t depth;                     /* stretches being played again, one inside the other */
    uint8_t filling;                   /* whether the data is one value repeated (1), or the rest is given by its value */
    uint8_t fill;                      /* that value; of a strip how far on what is sent is from what is shown, and NO_SHIFT; of a
                                          beam how many cells were passed over, or come after one another */
    uint8_t data_left;                 /* data bytes still to send of this instruction */
#ifdef PAGELOOM_TURNS
    uint8_t direction;                 /* where the beam points, in 1/256 of a turn */
#endif
    uint8_t laps;                      /* laps done of the stretch being repeated */
    uint8_t line;                      /* the start line, as the reel last set it */
#endif
#if defined PAGELOOM_CHANGES || defined PAGELOOM_TURNS || defined PAGELOOM_AREAS
    uint8_t page;                      /* the page of the data bytes */
    uint8_t end;                       /* the column behind them */
#endif
    uint8_t header[PAGELOOM_HEADER];   /* of the reel's header, for speed */
    uint8_t waits;                     /* frames still to pass without a change; while a beam is drawn, where it last pointed */
    uint8_t fraction;                  /* of `due`, 1/256 ms */
    uint8_t allowed;                   /* bytes that this tick may still send */
    uint8_t room;                      /* data bytes that the open transaction may still take */
    uint8_t open;                      /* whether a transaction is open; never between ticks */
#ifdef PAGELOOM_DIMS
    uint16_t dimming;                  /* offset of what the contrast follows, 0 for nothing */
    uint8_t dims;                      /* whether it is to be looked at, or to be sent */
    uint8_t contrast;                  /* as it was sent last */
#endif
#ifdef PAGELOOM_AREAS
    uint16_t records;                  /* offset of the areas' records, and how many there are */
    uint8_t count;
    uint8_t column;                    /* the cell that comes next, and the column that the display's pointer stands at */
    uint8_t pointer;
    uint8_t owed;                      /* what the look at hand takes of `allowed` */
    pageloom_area slots[PAGELOOM_AREAS];
#endif
#ifdef PAGELOOM_LIVE
    uint16_t set_up; /* its offset; the live values stand before it */
    pageloom_live live[PAGELOOM_LIVE];
#endif
#ifdef PAGELOOM_DRAWS
    uint8_t draws;      /* frames still to draw of this instruction */
#ifdef PAGELOOM_FILM
    uint8_t is_film;    /* whether they are of a film */
#endif
    pageloom_copy copy; /* what the frames are drawn on */
#endif
} pageloom_player;

/* Puts the player at the start of a reel of `reel_size` bytes; the first tick begins to set the display up. */
void pageloom_start(pageloom_player *player, const uint8_t *reel, uint16_t reel_size);

/*
 * Goes on: sends at most `allowance` bytes, address and control bytes counted, and returns one of the PAGELOOM_ codes.
 * `now_ms` is a clock in milliseconds that may wrap; call at least every 30 seconds.
 */
uint8_t pageloom_tick(pageloom_player *player, uint16_t now_ms, uint8_t allowance);

/*
 * Raises a trigger; it takes effect when the frame being sent is whole. Of several the last one counts. May be called
 * from an interrupt, if all triggers are raised from there or the main loop raises its own with interrupts off.
 */
void pageloom_trigger(pageloom_player *player, uint8_t trigger);

/* Sets the display up anew and plays the current scene from its start: after a fault, or after a loss of supply. */
void pageloom_restart(pageloom_player *player);

/*
 * Supplied by the firmware; none may wait for ever. `pageloom_bus_start` opens a transaction and sends the seven-bit
 * address for writing, `pageloom_bus_write` sends one byte, `pageloom_bus_stop` closes the transaction and is also called
 * after a failure. Each returns nonzero if all is well. A refused byte may be reported by the call after it, so a driver
 * may let a byte go out while the player works out the next one, and see to its acknowledge then; that hides most of the
 * player's own time.
 */
#ifdef PAGELOOM_SPI
/*
 * On SPI `pageloom_bus_select` takes its place: it sets the D/C line high for display data and low for commands, then pulls
 * chip select low. `pageloom_bus_stop` lets chip select rise when the last byte is out. Nothing is acknowledged.
 */
uint8_t pageloom_bus_select(uint8_t data);
#else
uint8_t pageloom_bus_start(uint8_t address);
#endif
uint8_t pageloom_bus_write(uint8_t byte);
uint8_t pageloom_bus_stop(void);

#ifdef PAGELOOM_LIVE
#include "live.h"
#endif

#ifdef PAGELOOM_FIELDS
#include "field.h"
#endif

#ifdef PAGELOOM_LAMPS
#include "lamp.h"
#endif

#ifdef PAGELOOM_THRESHOLDS
#include "threshold.h"
#endif

#ifdef PAGELOOM_SUPERVISOR
#include "supervise.h"
#endif

#ifdef __cplusplus
}
#endif

#endif
