/* walk.c - goes through the cells of areas, and sends those that change. */

#ifdef PAGELOOM_AREAS
/* Sends a cell of the current page. Sets the display's pointer first if it is elsewhere. */
static uint8_t send_composed(pageloom_player *player, uint8_t cell)
{
    uint8_t status;

    if (player->pointer != player->column) {
        status = seek(player, (uint8_t)(0xB0 | player->page), player->column);
        if (status != GO_ON) {
            return status;
        }
        player->pointer = player->column;
    }
    if (player->room == 0) {
        status = begin(player, DATA, 1);
        if (status != GO_ON) {
            return status;
        }
        make_room(player);
    }
    player->pointer++;
    player->room--;
    player->allowed--;
    return pageloom_bus_write(cell) ? GO_ON : PAGELOOM_FAULT;
}

/* Which cells of a chunk are sent: none, those that differ, or all. */
enum { NOT_SENT, COMPARED, ALL_SENT };

/* Returns which cells of the current chunk are sent. All cells are sent while areas open. So is noise: comparing it takes longer. */
static uint8_t is_to_be_composed(const pageloom_player *player)
{
    const pageloom_area *area = player->slots;
    pageloom_span span;
    uint8_t on = 0, found = NOT_SENT;

    do {
        if (player->phase == OPENING_AREAS) {
            return ALL_SENT;
        }
        if (has_moved(area) && find_span(player, on, &span)) {
            found = COMPARED;
#ifdef PAGELOOM_GRAINS
            if (IS_NOISE(span.kind)) {
                return ALL_SENT;
            }
#else
            break;
#endif
        }
        area++;
    } while (++on < player->count);
    return found;
}

/* Composes the current chunk. Sends all of its cells, or those that differ and the short gaps between them. */
static uint8_t send_changes(pageloom_player *player, uint8_t count, uint8_t all)
{
    uint8_t now[CHUNK], before[CHUNK], on, first = player->column;
    uint16_t back = player->at;

    compose(player, 0, now);
    if (!all) {
        compose(player, 1, before);
    }
    player->at = back;
    for (on = 0; on < count; on++) {
        uint8_t gap = (uint8_t)(first + on - player->pointer), from = on, status;

        if (!all && now[on] == before[on]) {
            continue;
        }
        if (gap < FAR_CELLS) {
            if (gap > on) { /* the gap began in the chunk before: start again there */
                player->column = player->pointer;
                return GO_ON;
            }
            from = (uint8_t)(on - gap);
        }
        for (; from <= on; from++) {
            player->column = (uint8_t)(first + from);
            status = send_composed(player, now[from]);
            if (status != GO_ON) {
                return status;
            }
        }
    }
    player->column = (uint8_t)(first + count);
    return GO_ON;
}

/* Composes and sends a chunk of `count` cells, if something in it moves. */
static uint8_t look(pageloom_player *player, uint8_t count)
{
    uint8_t is_composed = is_to_be_composed(player), status = GO_ON;

    player->owed = 1;
    if (is_composed) {
        status = send_changes(player, count, is_composed == ALL_SENT);
    } else {
        player->column = (uint8_t)(player->column + count);
    }
    spend(player, player->owed);
    return status;
}

/*
 * Opens areas, and then all cells of the first one are sent, unless the copy of the picture is sent next; or restarts their courses
 * with the next frame; or closes them.
 */
static uint8_t begin_areas(pageloom_player *player, uint8_t operation)
{
    uint8_t area;

    if (operation == OP_RESTART_AREAS) {
        restart_areas(player);
        return GO_ON;
    }
    if (operation == OP_CLOSE_AREAS) {
        END_AREAS(player);
        return GO_ON;
    }
    area = next_byte(player);
    player->count = 0;
    player->records = next_word(player);
    if (player->phase != SENDING || area == 0 || area > PAGELOOM_AREAS || player->records > player->reel_size
        || area * PLACE_BYTES > player->reel_size - player->records) {
        return PAGELOOM_FAULT;
    }
    player->count = area;
    restart_areas(player);
    (void)advance_areas(player);
    if (!SENDS_ALL(player)) {
        player->phase = OPENING_AREAS;
    }
    return GO_ON;
}

/* Goes through the cells of the first area, chunk by chunk, until the allowance is used up. Returns FOUND_ALL after the last one. */
static APART uint8_t walk(pageloom_player *player)
{
    while (player->allowed >= LEAST_FOR_A_CHUNK) {
        uint8_t left = (uint8_t)(player->end - player->column), status;

        status = look(player, left < CHUNK ? left : CHUNK);
        if (status != GO_ON) {
            return status;
        }
        if (player->column == player->end) {
            const uint8_t *from = place_of(player, 0);
            uint8_t last = PAGELOOM_NEXT(from);

            last = (uint8_t)(last + PAGELOOM_READ(from) - player->page);
            begin_row(player, (uint8_t)(player->page + 1));
            if (last == 0) {
                return FOUND_ALL;
            }
        }
    }
    return PAGELOOM_BUSY;
}
#endif
