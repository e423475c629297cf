/* lean.c - the instructions that only lean reels have: data from the reel, strips, calls and repeats. */

#ifdef PAGELOOM_LEAN
/* Prepares to send `count` bytes from the offset `from`. It is a fault if they do not lie in the reel. */
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

/* Sends prepared bytes, as many as the open transaction has room for. */
static uint8_t pour(pageloom_player *player)
{
    const uint8_t *from = player->reel + player->copy_from;
    uint8_t count = player->data_left;

    if (count > player->room) {
        count = player->room;
    }
#ifdef PAGELOOM_CHANGES
    if (player->filling > 1) {
        count = 1;
    }
#endif
    player->data_left = (uint8_t)(player->data_left - count);
    player->room = (uint8_t)(player->room - count);
    player->allowed = (uint8_t)(player->allowed - count);
    player->copy_from = (uint16_t)(player->copy_from + count);
    for (; count > 0; count--) {
        uint8_t byte = FILLS(player) ? player->fill : PAGELOOM_READ(from++);

        if (!pageloom_bus_write(byte)) {
            return PAGELOOM_FAULT;
        }
    }
    return GO_ON;
}

#ifdef PAGELOOM_CHANGES
/* Values of `filling` when only changes are sent: the display's pointer is elsewhere, or at the next byte to send. */
enum { ELSEWHERE = 2, AT_CHANGE = 3 };

/* A gap of this many unchanged cells is skipped by setting the pointer. Sending a shorter gap takes less time. */
enum { SHORTEST_GAP = 8 };

/* The distance in the strip, from the bytes shown to the bytes to show, is stored with this added. */
enum { NO_SHIFT = 128 };

/* In addition to the public codes: the pointer is at a byte to send. */
enum { FOUND = GO_ON + 1 };

/* Skips cells that are already shown and sets the pointer to the next change. Returns FOUND if the pointer is already there. */
static uint8_t find_change(pageloom_player *player)
{
    uint16_t now = player->copy_from;
    uint8_t left = player->data_left, alike = 0, status;

    while (alike < left && alike < SHORTEST_GAP
           && PAGELOOM_READ(player->reel + now) == byte_at(player, (uint16_t)(now + NO_SHIFT - player->fill))) {
        alike++;
        now++;
    }
    left = (uint8_t)(left - alike);
    if (player->filling == AT_CHANGE && left > 0 && alike < SHORTEST_GAP) {
        return FOUND;
    }
    player->filling = ELSEWHERE;
    player->copy_from = now;
    player->data_left = left;
    if (left == 0 || alike == SHORTEST_GAP) {
        return GO_ON;
    }
    status = seek(player, (uint8_t)(0xB0 | player->page), (uint8_t)(player->end - left));
    if (status == GO_ON) {
        player->filling = AT_CHANGE;
    }
    return status;
}
#endif

/* Sends as much data as the allowance and the write limit allow. */
static uint8_t send_data(pageloom_player *player)
{
#ifdef PAGELOOM_ROLLS
    if (player->filling >= ROLLING) {
        return roll(player);
    }
#endif
#ifdef PAGELOOM_TURNS
    if (player->filling >= OPENING) {
        return turn(player);
    }
#endif
#ifdef PAGELOOM_CHANGES
    if (player->filling > 1) {
        uint8_t status = find_change(player);

        if (status != FOUND) {
            return status;
        }
    }
#endif
    if (player->room == 0) {
        uint8_t status = begin(player, DATA, 1);

        if (status != GO_ON) {
            return status;
        }
        make_room(player);
    }
    return pour(player);
}

/* Sends the prepared bytes as one transaction of commands, which is never split. */
static uint8_t group(pageloom_player *player, uint8_t count)
{
    uint8_t status = begin(player, COMMANDS, count);

    if (status == GO_ON) {
        player->room = count;
        status = pour(player); /* the next instruction closes the transaction */
    }
    return status;
}

/* Sends a group of commands from the reel. */
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

/* Prepares to send one value `count` times. */
static uint8_t fill(pageloom_player *player, uint8_t value, uint8_t count)
{
    player->filling = 1;
    player->fill = value;
    player->data_left = count;
    return GO_ON;
}

/* Sets the start line, or moves it by `rows` from the start line that the reel set last. */
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

/* Plays a number of earlier instructions, then returns. */
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

/* Plays an instruction with a count and an offset in the reel. */
static uint8_t far_form(pageloom_player *player, uint8_t operation, uint8_t count)
{
    uint8_t high = operation == OP_PLAY_LONG ? next_byte(player) : 0;
    uint16_t from = next_word(player);

    if (operation <= OP_PLAY_LONG) {
        return play(player, (uint16_t)(count | (uint16_t)high << 8), from);
    }
    if (operation == OP_REPEAT) {
        if (player->repeats < count) {
            player->repeats++;
            player->at = from;
        } else {
            player->repeats = 0;
        }
        return GO_ON;
    }
    if (operation != OP_COPY) {
        if (operation >= OP_ONWARD) {
            from = (uint16_t)(from + player->strip);
        }
        player->strip = from;
    }
    count = take(player, from, count);
#ifdef PAGELOOM_CHANGES
    if (operation == OP_CHANGES) {
        player->page = next_byte(player);
        player->end = next_byte(player);
        player->fill = next_byte(player);
        player->filling = ELSEWHERE;
    }
#endif
    return count;
}

/* Plays an instruction whose lower bits are a count of bytes or a page. */
static uint8_t short_form(pageloom_player *player, uint8_t operation)
{
    uint8_t count = (uint8_t)((operation & 31) + 1);

    if (operation >= OP_FILM || operation < OP_LITERAL) {
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

/* Returns from calls that have ended. */
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
