/*
 * player.h - plays compiled shows (reels) on a page-ordered monochrome display, a few bytes at a time. It is the same for
 * every show; config.h lists the parts of it that the shows of a firmware need.
 *
 * C99, no heap, no picture copy. State on an 8-bit AVR: 55 bytes; with one area 71, and 8 more for each further area. It never
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
 * On SPI (PAGELOOM_SPI) there is no address, control byte or acknowledge:
 *
 *     D/C, chip select low    byte       byte ...   chip select high
 *     bus_select(data)      bus_write  bus_write    bus_stop()
 *
 * Where the format of the reel leaves something open, this player and the one in Rust behave in the same way:
 *  - a trigger that the scene ignores is dropped at once, so that it cannot replace a trigger that has an effect;
 *  - a trigger that leads to the scene that is playing restarts it and does not change what "back" means;
 *  - before the first trigger takes effect, "back" means the start scene;
 *  - a tick executes at most as many instructions as it may send bytes, so that a reel of empty instructions cannot block
 *    the loop; it then returns PAGELOOM_BUSY;
 *  - these are faults of the reel, PAGELOOM_FAULT: a literal or copy that reaches beyond the reel, an unknown instruction,
 *    calls that are nested more than four levels deep, an empty call, more than ten command bytes, and a second end of the
 *    set-up. An invalid version, write limit or start scene is a fault that pageloom_restart cannot clear.
 */
#ifndef PAGELOOM_PLAYER_H
#define PAGELOOM_PLAYER_H

#include <stdint.h>
#include "config.h"

/* Where constants are stored, and how one byte of them is read. On AVR they are in the first 64 KiB of flash. */
#ifndef PAGELOOM_FLASH
#ifdef __AVR__
#include <avr/pgmspace.h>
#define PAGELOOM_FLASH PROGMEM
#define PAGELOOM_READ(pointer) pgm_read_byte(pointer)
#define PAGELOOM_NEXT(pointer) pageloom_next_byte(&(pointer))
/* Reads a byte of flash and advances the pointer. */
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

/* Reads one byte of a constant and advances the pointer. */
#ifndef PAGELOOM_NEXT
#define PAGELOOM_NEXT(pointer) PAGELOOM_READ((pointer)++)
#endif

#ifdef __cplusplus
extern "C" {
#endif

/* The version of the reel format that this player plays. */
#define PAGELOOM_REEL_VERSION 2
/* The smallest allowance of a tick, including address and control bytes. A smaller one is raised to this. */
#define PAGELOOM_SMALLEST_ALLOWANCE 12
/* Bytes of the reel's header after the version that the player keeps. */
#define PAGELOOM_HEADER 8
/* How many levels deep calls of earlier instructions may be nested. */
#define PAGELOOM_LEVELS 4

/* The result of a tick. */
enum {
    PAGELOOM_IDLE,  /* the picture is complete; there is nothing to send until the next frame is due */
    PAGELOOM_BUSY,  /* the allowance is used up; there is more to send now */
    PAGELOOM_CUE,   /* the cue in player.cue is due; call pageloom_tick again for what follows */
    PAGELOOM_FAULT  /* the bus or the reel failed; nothing is sent until pageloom_restart */
};

/*
 * Definitions that follow from config.h. PAGELOOM_AREAS is the largest number of areas of a scene, PAGELOOM_LIVE the largest number
 * of live values of a show. A player without PAGELOOM_LEAN sends cells only for dense reels and areas.
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
/* Number of decision trees, of groups of eight features, and of bytes of marks per page. The last byte of a page is never set. */
#define PAGELOOM_TREES 5
#define PAGELOOM_GROUPS 15
#define PAGELOOM_PAIR_LEAVES 8
#define PAGELOOM_MARKS ((PAGELOOM_COLUMNS + 7) / 8 + 1)
#endif

#ifdef PAGELOOM_BEAM
/* A turning beam, for shows with a sweep. */
typedef struct {
    const uint8_t *record; /* in flash: column and row of its centre; whether it turns anticlockwise; its longest limit; the
                              square of its length in pixels */
    const uint8_t *limits; /* in flash, for each pixel of a 4x4 tile: how many bearings behind the beam it stays lit */
    uint8_t now;           /* where it points in this frame and in the previous one, in 1/256 of a turn */
    uint8_t last;
    uint8_t far;           /* number of cells from the current one on that it cannot touch */
    uint8_t near;          /* number of cells near it among those that were computed */
} pageloom_beam;
#endif

#ifdef PAGELOOM_DENSE
/* A copy of the picture and the place that is being drawn. Only the player uses it. */
typedef struct {
    const uint8_t *reel;
    const uint8_t *end;                   /* the byte after the reel, and the last place where a node can begin */
    const uint8_t *last_node;
    const uint8_t *leaves;                /* the leaves of pairs, and the decision trees, in flash */
    const uint8_t *roots[PAGELOOM_TREES];
    uint16_t stream;                      /* offset of the next byte of the coded stream */
    uint16_t low;                         /* state of the decoder: its low 16 bits, and the 8 bits above */
    uint8_t high;
    uint8_t numbers[8];                   /* column, page or row, scene; then the frame's number, which wraps */
    uint8_t page;                         /* the current page */
    uint8_t *here;                        /* the current cell, and its byte and bit of the marks */
    uint8_t *mark;
    uint8_t bit;
    uint8_t facts;                        /* facts of the current cell: how the cell on its left got its value, and `key` */
    uint8_t key;                          /* whether the scene starts with this frame, as a fact of a cell */
    uint8_t predicts;                     /* whether movement or beam predict cells, and the prediction for the current eight cells */
    uint8_t eight[8];
    uint8_t left;                         /* how far the picture moves per frame: columns to the left, rows up */
    uint8_t up;
    uint8_t stage;                        /* the stage of drawing a frame */
    uint8_t pointer;                      /* column of the display's pointer in the current page */
    uint8_t cell[PAGELOOM_GROUPS];        /* what the trees test for a cell, and for a pixel */
    uint8_t pixel[PAGELOOM_GROUPS];
    uint8_t marked[3];                    /* the next marks for `cell`, and the next rows for `pixel` */
    uint8_t below[7];
    uint8_t was_still;                    /* whether the last frame changed nothing */
    uint8_t inverts;                      /* whether this frame inverts the display, and whether the display is inverted */
    uint8_t inverted;
    uint8_t first_column;                 /* column of the display's memory that is the leftmost visible one */
    uint8_t has_model;
#ifdef PAGELOOM_BEAM
    uint8_t has_beam;
    pageloom_beam beam;
    uint16_t direction;                   /* where the beam points and how far it turns per frame, in 1/65536 of a turn */
    uint16_t turn;
#endif
    uint8_t marks[PAGELOOM_MARKS * (PAGELOOM_PAGES + 2) + 1]; /* marks of cells that changed, with an empty border around the picture */
    uint8_t cells[PAGELOOM_COLUMNS * PAGELOOM_PAGES];         /* the picture, page by page */
} pageloom_picture;
#endif

#ifdef PAGELOOM_FILM
/* Number of tables for the probabilities of a film's decisions, and of bytes with a bit per column. The last byte is never set. */
#define PAGELOOM_TABLES 13
#define PAGELOOM_COLUMN_BYTES ((PAGELOOM_COLUMNS + 7) / 8 + 1)

/* A table of steps in flash, and the bits of a context that it uses. */
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

/* A copy of the picture for a film, and the place that is being drawn. Only the player uses it. */
typedef struct {
    pageloom_decoder decoder;
    const uint8_t *end;   /* the byte after the reel */
    uint8_t *here;        /* the current cell, its page as a number and as a bit, its column, and its bit of eight */
    uint8_t page;
    uint8_t page_bit;
    uint8_t column;
    uint8_t bit;
    uint8_t above;        /* which of the current eight cells changed in the page above */
    uint8_t change;       /* how the cell on the left changed, which cells before it changed, and how it got its value */
    uint8_t history;
    uint8_t kind;
    uint8_t key;          /* whether the scene starts with this frame, as a fact of a cell */
    uint8_t copies;       /* whether cells can become copies of the cell on their left */
    uint8_t stage;        /* the stage of drawing a frame */
    uint8_t pointer;      /* column of the display's pointer in the current page */
    uint8_t first_column; /* column of the display's memory that is the leftmost visible one */
    uint8_t has_model;
    pageloom_table tables[PAGELOOM_TABLES];
    uint8_t changed[PAGELOOM_COLUMN_BYTES]; /* cells that changed: of this page up to the current place, then of the page above */
    uint8_t busy[PAGELOOM_COLUMN_BYTES];    /* groups of eight cells that changed when last decoded, a bit for each page */
    uint8_t cells[PAGELOOM_COLUMNS * PAGELOOM_PAGES]; /* the picture, page by page */
} pageloom_film;
#endif

#ifdef PAGELOOM_DRAWS
/* The picture copy that a reel draws on. */
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
/* An area, and its place in its course. */
typedef struct {
    uint16_t course; /* offset of its next item */
    uint16_t phase;  /* in this frame, and in the previous one */
    uint16_t former;
    uint8_t wait;    /* frames until it changes */
    uint8_t again;   /* how often the item is still to be used */
#ifdef PAGELOOM_LIVE
    uint16_t shown;  /* the phase plus what live values add */
#endif
} pageloom_area;
#endif

#ifdef PAGELOOM_LIVE
/* A live value as the firmware set it, its step, and the step that this frame shows. */
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
    uint8_t cue;                       /* the cue, after PAGELOOM_CUE */
    volatile uint8_t pending;          /* the scene that the last raised trigger leads to */
    volatile uint8_t raised;           /* number of triggers raised */
    uint8_t taken;                     /* number of triggers that were handled */
    uint8_t entries;                   /* number of scenes entered, for fields */
    uint8_t phase;                     /* set-up, sending, waiting, held or fault */
#ifdef PAGELOOM_LEAN
    uint16_t copy_from;                /* offset of the next data byte of a literal or copy */
    uint16_t strip;                    /* where the last copy of a strip began */
    uint16_t returns[PAGELOOM_LEVELS]; /* for each open call, where the player continues after it */
    uint16_t ends[PAGELOOM_LEVELS];    /* for each open call, where its instructions end */
#if defined PAGELOOM_TURNS || defined PAGELOOM_ROLLS
    uint16_t beam;                     /* offset of the record of the turning beam, or of the scrolling lines */
#endif
#ifdef PAGELOOM_ROLLS
    uint16_t row;                      /* the row of the scrolling lines that is written next */
#endif
#ifdef PAGELOOM_ROUNDS
    uint16_t round;                    /* offset of the next part of a loop, 0 for none; while that part plays, offset of the rest */
#endif
    uint8_t depth;                     /* number of open calls */
    uint8_t filling;                   /* whether the data is one repeated value (1), or another kind of data */
    uint8_t fill;                      /* that value; for a strip the distance from the bytes shown, plus NO_SHIFT; for a beam or
                                          scrolling lines a number of cells (change.c) */
    uint8_t data_left;                 /* data bytes of this instruction that are still to be sent */
#ifdef PAGELOOM_TURNS
    uint8_t direction;                 /* where the beam points, in 1/256 of a turn */
#endif
    uint8_t repeats;                   /* finished repetitions of the repeated instructions */
    uint8_t line;                      /* the start line that the reel set last */
#endif
#if defined PAGELOOM_CHANGES || defined PAGELOOM_TURNS || defined PAGELOOM_AREAS
    uint8_t page;                      /* the page of the data bytes */
    uint8_t end;                       /* the column after them */
#endif
    uint8_t header[PAGELOOM_HEADER];   /* copy of the reel's header, for speed */
    uint8_t waits;                     /* frames without a change that are still to come; while a beam is drawn, its last bearing */
    uint8_t fraction;                  /* of `due`, 1/256 ms */
    uint8_t allowed;                   /* bytes that this tick may still send */
    uint8_t room;                      /* data bytes that the open transaction may still take */
    uint8_t open;                      /* whether a transaction is open; none is open between ticks */
#ifdef PAGELOOM_DIMS
    uint16_t dimming;                  /* offset of the operands of a contrast that follows a live value, 0 for none */
    uint8_t dims;                      /* whether that contrast is to be compared, or to be sent */
    uint8_t contrast;                  /* the contrast sent last */
#endif
#ifdef PAGELOOM_AREAS
    uint16_t records;                  /* offset of the areas' records, and their number */
    uint8_t count;
    uint8_t column;                    /* the next cell, and the column of the display's pointer */
    uint8_t pointer;
    uint8_t owed;                      /* bytes of `allowed` that composing the current cells uses up */
#ifdef PAGELOOM_DRAWS
    uint8_t composed;                  /* number of cells that are composed at a time */
#endif
    pageloom_area slots[PAGELOOM_AREAS];
#endif
#ifdef PAGELOOM_LIVE
    uint16_t set_up; /* offset of the set-up; the live values are stored before it */
    pageloom_live live[PAGELOOM_LIVE];
#endif
#ifdef PAGELOOM_HISTORY
    uint8_t history[PAGELOOM_HISTORY]; /* what charts keep of live values */
#endif
#ifdef PAGELOOM_DRAWS
    uint8_t draws;      /* frames of this instruction that are still to be drawn */
#ifdef PAGELOOM_FILM
    uint8_t is_film;    /* whether they are frames of a film */
#endif
    pageloom_copy copy; /* the picture copy */
#endif
} pageloom_player;

/* Sets the player to the start of a reel of `reel_size` bytes. The first tick begins to set up the display. */
void pageloom_start(pageloom_player *player, const uint8_t *reel, uint16_t reel_size);

/*
 * Continues the show: sends at most `allowance` bytes, including address and control bytes, and returns one of the PAGELOOM_ codes.
 * `now_ms` is a clock in milliseconds that may wrap. Call this at least every 30 seconds.
 */
uint8_t pageloom_tick(pageloom_player *player, uint16_t now_ms, uint8_t allowance);

/*
 * Raises a trigger. It takes effect when the current frame is complete. If several are raised before that, only the last one has an
 * effect. You can call this from an interrupt if all triggers are raised there, or if the main loop disables interrupts meanwhile.
 */
void pageloom_trigger(pageloom_player *player, uint8_t trigger);

/* Sets up the display again and restarts the current scene. Call it after a fault, or after a loss of supply. */
void pageloom_restart(pageloom_player *player);

/*
 * Your firmware supplies these functions. None of them may wait without a time limit. `pageloom_bus_start` opens a transaction and
 * sends the seven-bit address for writing. `pageloom_bus_write` sends one byte. `pageloom_bus_stop` closes the transaction; the
 * player calls it after a failure too. Each returns nonzero for success. A driver may report a refused byte one call later. So it
 * can return while a byte is still being sent, and check the acknowledge in the next call. Then the player prepares the next byte
 * at the same time, which saves most of its own time.
 */
#ifdef PAGELOOM_SPI
/*
 * On SPI `pageloom_bus_select` replaces `pageloom_bus_start`: it sets the D/C line high for display data and low for commands, then
 * pulls chip select low. `pageloom_bus_stop` sets chip select high after the last byte was sent. There is no acknowledge.
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
