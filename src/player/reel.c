/* reel.c - the contents of a reel, and how its bytes are read. */

/* States of the player. In all states up to SENDING there is something to send. */
enum {
    SET_UP,
#ifdef PAGELOOM_ROUNDS
    IN_ROUND,
#endif
#ifdef PAGELOOM_AREAS
    OPENING_AREAS,
    WALKING,
#endif
    SENDING,
    READY,
    WAITING,
    HELD,
    FAULT
};

/* In addition to the public codes: an instruction is finished and the next one may follow. */
enum { GO_ON = PAGELOOM_FAULT + 1, FOUND_ALL };

enum { BACK = 0xFE, NONE = 0xFF, LATEST_MILLISECONDS = 256, MOST_COMMAND_BYTES = PAGELOOM_SMALLEST_ALLOWANCE - 2 };

/* Control bytes: what the bytes of a transaction are. */
enum { COMMANDS = 0x00, DATA = 0x40 };

/* Opens a transaction with the display for commands or for data. */
#ifdef PAGELOOM_SPI
#define OPEN(address, control) ((void)(address), pageloom_bus_select((control) == DATA))
#else
#define OPEN(address, control) (pageloom_bus_start(address) && pageloom_bus_write(control))
#endif

/* Whether the display's pointer is set by bank and column. The address is then 1. Only displays on SPI can have this. */
#ifdef PAGELOOM_SPI
#define IS_BANKED(player) ((player)->header[HEADER_ADDRESS] == 1)
#else
#define IS_BANKED(player) 0
#endif

/* The controller's command for the start line, to which the row is added. */
enum { START_LINE = 0x40 };

/* Offsets in the player's copy of the reel's header. It begins after the version. */
enum {
    HEADER_ADDRESS = 0,
    HEADER_WRITE_LIMIT = 1,
    HEADER_PERIOD = 2,
    HEADER_FRACTION = 4,
    HEADER_SCENES = 5,
    HEADER_TRIGGERS = 6,
    HEADER_START = 7
};

/* Offsets in the reel after that: the offset of the set-up, and the tables of scenes and triggers. */
enum { SET_UP_OFFSET = PAGELOOM_HEADER + 1, TABLES = SET_UP_OFFSET + 2 };

/* Instructions. From OP_LITERAL on, the lower bits are a count or a page. */
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
    OP_CHANGES = 0x14,
    OP_BEAM = 0x15,
    OP_POINT = 0x16,
    OP_OPEN_BEAM = 0x17,
    OP_TURN = 0x18,
    OP_CONTRAST = 0x19,
    OP_CLOSE_AREAS = 0x1A,
    OP_ROUND = 0x1B,
    OP_OPEN_ROLL = 0x1C,
    OP_ROLL = 0x1D,
    OP_OPEN_AREAS = 0x1E,
    OP_RESTART_AREAS = 0x1F,
    OP_LITERAL = 0x20,
    OP_FILL = 0x40,
    OP_ZERO = 0x60,
    OP_SEEK = 0x80,
    OP_FILM = 0x90,
    OP_END = 0x91
};

/* APART: never inlined, which halves the code on 8-bit parts. INSIDE: always inlined, for speed. */
#ifdef __GNUC__
#define APART __attribute__((noinline))
#define INSIDE inline __attribute__((always_inline))
#else
#define APART
#define INSIDE inline
#endif

/* Whether frames are drawn on the copy of the picture, and whether an instruction belongs to films or beams. */
#ifdef PAGELOOM_DRAWS
#define DRAWS(player) ((player)->draws > 0)
#ifdef PAGELOOM_FILM
#define IS_FILM(operation) ((operation) == OP_FILM)
#else
#define IS_FILM(operation) 0
#endif
#if defined PAGELOOM_BEAM && defined PAGELOOM_DENSE
#define IS_OF_BEAM(operation) ((operation) == OP_BEAM || (operation) == OP_POINT)
#else
#define IS_OF_BEAM(operation) 0
#endif
#define APART_IF_DENSE APART
#else
#define DRAWS(player) 0
#define APART_IF_DENSE
#endif

/* A field of the copy of the picture, and whether all its cells are sent next because a scene opens. */
#if defined PAGELOOM_DENSE && defined PAGELOOM_FILM
#define OF_COPY(player, field) (*((player)->is_film ? &(player)->copy.film.field : &(player)->copy.picture.field))
#elif defined PAGELOOM_FILM
#define OF_COPY(player, field) (player)->copy.film.field
#else
#define OF_COPY(player, field) (player)->copy.picture.field
#endif
#ifdef PAGELOOM_DRAWS
enum { MODEL_READ = 1, PICTURE_DRAWN = 2 }; /* values of has_model: what a copy held before its model was read is not shown */
#define SENDS_ALL(player) OF_COPY(player, key)
#else
#define SENDS_ALL(player) 0
#endif

/* Whether cells of areas are composed and sent. */
#ifdef PAGELOOM_AREAS
#define WALKS(player) ((player)->phase == WALKING || (player)->phase == OPENING_AREAS)
#define IS_AREAS(operation) \
    ((operation) == OP_OPEN_AREAS || (operation) == OP_RESTART_AREAS || (operation) == OP_CLOSE_AREAS)
#define END_AREAS(player) (player)->count = 0
#else
#define WALKS(player) 0
#define IS_AREAS(operation) 0
#define END_AREAS(player) (void)0
#endif

/* Whether the data is one repeated value; and whether the player itself sets the display's pointer, without an instruction. */
#ifdef PAGELOOM_SKIPS
#define FILLS(player) ((player)->filling == 1)
#ifdef PAGELOOM_LEAN
#define SKIPS(player) (((player)->filling > 1 && (player)->data_left > 0) || WALKS(player))
#else
#define SKIPS(player) WALKS(player)
#endif
#define APART_IF_SKIPS APART
#else
#define FILLS(player) ((player)->filling)
#define SKIPS(player) 0
#define APART_IF_SKIPS
#endif
#ifdef PAGELOOM_CHANGES
#define IS_CHANGES(operation) ((operation) == OP_CHANGES)
#else
#define IS_CHANGES(operation) 0
#endif
#ifdef PAGELOOM_TURNS
#define IS_TURN(operation) ((operation) == OP_OPEN_BEAM || (operation) == OP_TURN)
#else
#define IS_TURN(operation) 0
#endif

#ifdef PAGELOOM_ROLLS
#define IS_ROLL(operation) ((operation) == OP_OPEN_ROLL || (operation) == OP_ROLL)
#else
#define IS_ROLL(operation) 0
#endif

/* Returns a byte of the reel. Beyond its end this is an unknown instruction, so that an incomplete reel ends with a fault. */
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
