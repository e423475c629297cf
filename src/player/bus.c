/* bus.c - the transactions of one tick. They keep to the allowance and the write limit. */

/* Closes the open transaction, if there is one. Returns GO_ON, or a fault if a byte was refused. */
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

/* Opens a transaction if address, control byte and `bytes` more fit the allowance. Returns GO_ON if it is open. */
static uint8_t begin(pageloom_player *player, uint8_t control, uint8_t bytes)
{
    if (close_transaction(player) != GO_ON) {
        return PAGELOOM_FAULT;
    }
    bytes = (uint8_t)(bytes + 2);
    if (player->allowed < bytes) {
        if (control == COMMANDS && !DRAWS(player) && !SKIPS(player)) {
            player->at = (uint16_t)(player->at - 2); /* the next tick plays the whole instruction again */
#ifdef PAGELOOM_LEAN
            player->data_left = 0;
#endif
        }
        return PAGELOOM_BUSY;
    }
    player->allowed = (uint8_t)(player->allowed - 2);
    player->open = 1;
    if (!OPEN(player->header[HEADER_ADDRESS], control)) {
        return PAGELOOM_FAULT;
    }
    return GO_ON;
}

/* Sets how many data bytes the new transaction can take. The allowance and the write limit decide this. */
static void make_room(pageloom_player *player)
{
    player->room = (uint8_t)(player->header[HEADER_WRITE_LIMIT] - 1);
    if (player->room > player->allowed) {
        player->room = player->allowed;
    }
}

#if defined PAGELOOM_DRAWS || !defined PAGELOOM_LEAN
/* Sends a byte in the open transaction. */
static APART uint8_t send_byte(pageloom_player *player, uint8_t byte)
{
    player->allowed--;
    return pageloom_bus_write(byte) ? GO_ON : PAGELOOM_FAULT;
}
#endif

#ifndef PAGELOOM_LEAN
/* Sends a group of commands from the reel. */
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

#if defined PAGELOOM_DRAWS || defined PAGELOOM_TURNS || defined PAGELOOM_ROLLS || defined PAGELOOM_AREAS
/* Uses up bytes of the allowance for work that takes time: one byte for about 2,000 cycles of an AVR. */
static APART void spend(pageloom_player *player, uint8_t bytes)
{
    player->allowed = (uint8_t)(player->allowed > bytes ? player->allowed - bytes : 0);
    if (player->room > player->allowed) {
        player->room = player->allowed;
    }
}
#endif

/* Sets the display's pointer to a page and a column, by three commands in one transaction. */
static APART_IF_SKIPS uint8_t seek(pageloom_player *player, uint8_t page, uint8_t column)
{
    uint8_t bytes = IS_BANKED(player) ? 2 : 3;
    uint8_t status = begin(player, COMMANDS, bytes);

    if (status == GO_ON) {
        player->allowed = (uint8_t)(player->allowed - bytes);
        status = PAGELOOM_FAULT;
        if (IS_BANKED(player)) {
            return pageloom_bus_write(page ^ (0xB0 ^ 0x40)) && pageloom_bus_write(0x80 | column) ? GO_ON : PAGELOOM_FAULT;
        }
        if (pageloom_bus_write(page) && pageloom_bus_write(column & 15)
            && pageloom_bus_write((uint8_t)(0x10 | column >> 4))) {
            status = GO_ON;
        }
    }
    return status;
}
