/* area.c - areas, for lean reels: rectangles of cells through which one looks at sheets of ink that move. */

#ifdef PAGELOOM_AREAS
/*
 * A record: course, first page, pages less 1, first column of the display's memory, cells a row, kind, the pixels of the first and
 * of the last page that are its own, table of the sheet's rows, an offset for each.
 */
enum { PLACE_PAGE = 2, PLACE_COLUMN = 2, PLACE_KIND = 6, PLACE_BYTES = 11 };

/*
 * Kinds. The phase moves the sheet by columns, by rows of pixels, or by whole pictures; where by columns and by one of the others,
 * the columns are its low byte. Ink then darkens, and then it changes over; both light it. The phase follows live values too; before
 * the course stand those (live.c).
 */
enum { ACROSS = 1, DOWN = 2, PICTURES = 4, CLEARS = 8, INKS = 16, FOLLOWS_LIVE = 32 };

/*
 * A row of a sheet: up to 3D so many blank cells and one; 3E blank from here on; 3F d on at d bytes behind the row's start; from
 * 40 on 1 to 64 cells: 40 they follow; 80 v all are v; C0 lo hi they stand at an offset in the reel.
 */
enum { BLANK_ON = 0x3E, AGAIN = 0x3F, CELLS_FOLLOW = 0x40, ONE_VALUE = 0x80, STAND_ELSEWHERE = 0xC0 };

/*
 * A course, an item for each change: a step of -7 to 7 in the upper four bits and for how many frames it then stays in the lower
 * ones, or one of these. 80 n: the next item n times. 81 lo hi n: to a phase, where it stays n frames. 82 lo hi: on there.
 * 83 lo hi n: a wide step.
 */
enum { TIMES = 0x80, TO_PHASE = 0x81, GO_TO = 0x82, WIDE_STEP = 0x83 };

/* Cells that are composed at once; what a look at them takes of the allowance, and how much of it there must be. */
enum { CHUNK = 16, LOOK_BYTES = 4, LEAST_FOR_A_LOOK = 12 };

/* So many cells from the display's pointer it is set anew. */
enum { FAR_CELLS = 8 };

/* The part of a row of cells that an area covers: its place in the chunk and in the area; pages from the area's first and to its last. */
typedef struct {
    const uint8_t *rest; /* of the record */
    uint8_t at;
    uint8_t column;
    uint8_t count;
    uint8_t rows;
    uint8_t last;
} pageloom_span;

/* The place of an area's record, behind its course; that it lies in the reel was seen to when the areas were opened. */
static APART const uint8_t *place_of(const pageloom_player *player, uint8_t area)
{
    return player->reel + player->records + (uint16_t)(area * PLACE_BYTES) + PLACE_PAGE;
}

/* All areas begin their courses with the next frame. */
static APART void restart_areas(pageloom_player *player)
{
    uint16_t record = player->records, back = player->at;
    pageloom_area *area = player->slots;
    uint8_t left;

    for (left = player->count; left > 0; left--) {
        player->at = record;
        area->course = next_word(player);
        area->wait = 0;
        area->again = 0;
        area++;
        record = (uint16_t)(record + PLACE_BYTES);
    }
    player->at = back;
}

/* An area's next phase; `at` is the player's place in courses meanwhile. */
static void go_on_with(pageloom_player *player, pageloom_area *area)
{
    uint16_t wide;
    uint8_t item;

    area->former = area->phase;
    if (area->wait > 0) {
        area->wait--;
        return;
    }
    player->at = area->course;
    item = next_byte(player);
    if (area->again == 0) {
        area->again = 1;
        if (item == GO_TO) {
            player->at = next_word(player);
            item = next_byte(player);
        }
        if (item == TIMES) {
            area->again = next_byte(player);
            item = next_byte(player);
        }
        area->course = (uint16_t)(player->at - 1);
    }
    area->wait = item & 15;
    wide = (uint16_t)(int16_t)((int8_t)item >> 4);
    if (item == TO_PHASE || item == WIDE_STEP) {
        if (item == TO_PHASE) {
            area->phase = 0;
        }
        wide = next_word(player);
        area->wait = next_byte(player);
    }
    area->phase = (uint16_t)(area->phase + wide);
    if (--area->again == 0) {
        area->course = player->at;
    }
}

#ifdef PAGELOOM_LIVE
/* The same with what live values add; in a scene that is held those alone move it. */
static void go_on_live(pageloom_player *player, pageloom_area *area, uint16_t record)
{
    uint16_t shown = area->phase;

    area->phase = area->base;
    if (player->phase != HELD) {
        go_on_with(player, area);
    }
    area->base = area->phase;
    area->former = shown;
    if (byte_at(player, (uint16_t)(record + PLACE_KIND)) & FOLLOWS_LIVE) {
        area->phase = (uint16_t)(area->base + live_part(player, record));
    }
}
#endif

static uint8_t has_moved(const pageloom_area *area)
{
    return area->phase != area->former;
}

/* The first area's cells are to be looked at, from those of a page on. */
static APART void begin_row(pageloom_player *player, uint8_t page)
{
    const uint8_t *from = place_of(player, 0) + PLACE_COLUMN;

    player->page = page;
    player->column = PAGELOOM_NEXT(from);
    player->end = (uint8_t)(player->column + PAGELOOM_READ(from));
    player->pointer = (uint8_t)(player->column - FAR_CELLS);
}

/* All areas go on by a frame; whether one of them moves. */
static APART uint8_t advance_areas(pageloom_player *player)
{
    pageloom_area *area = player->slots;
    uint16_t back = player->at;
    uint8_t left, moves = 0;
#ifdef PAGELOOM_LIVE
    uint16_t record = player->records;

    take_live(player);
#endif

    for (left = player->count; left > 0; left--) {
#ifdef PAGELOOM_LIVE
        go_on_live(player, area, record);
        record = (uint16_t)(record + PLACE_BYTES);
#else
        go_on_with(player, area);
#endif
        moves |= has_moved(area);
        area++;
    }
    player->at = back;
    begin_row(player, PAGELOOM_READ(place_of(player, 0)));
    return moves;
}

/* What of the chunk at hand an area covers; how many cells, 0 for none. */
static APART uint8_t find_span(const pageloom_player *player, uint8_t area, pageloom_span *span)
{
    const uint8_t *from = place_of(player, area);
    uint8_t rows = (uint8_t)(player->page - PAGELOOM_NEXT(from)), last = (uint8_t)(PAGELOOM_NEXT(from) - rows);
    uint8_t column = (uint8_t)(player->column - PAGELOOM_NEXT(from)), count = PAGELOOM_NEXT(from), at = 0;

    span->rest = from;
    span->rows = rows;
    span->last = last;
    if (column > 256 - CHUNK) { /* it begins within the chunk */
        at = (uint8_t)-column;
        column = 0;
    }
    if (rows > 15 || last > 15 || column >= count) {
        return 0;
    }
    count = (uint8_t)(count - column);
    if (count > CHUNK - at) {
        count = (uint8_t)(CHUNK - at);
    }
    span->at = at;
    span->column = column;
    span->count = count;
    return count;
}

/* Takes cells of a row of a sheet, from one on; `at` is the player's place in it meanwhile. */
static APART void take_row(pageloom_player *player, uint16_t row, uint16_t skip, uint8_t *cells, uint8_t count)
{
    uint16_t from;

    player->at = row;
    do {
        uint8_t item = next_byte(player), left, value = 0;

        if (item == AGAIN) {
            player->at = (uint16_t)(row + next_byte(player));
            item = next_byte(player);
        }
        left = (uint8_t)((item & 63) + 1);
        if (item == BLANK_ON || item == AGAIN) {
            item = 0;
            left = count;
            skip = 0;
        }
        from = player->at;
        if (item >= STAND_ELSEWHERE) {
            from = next_word(player);
        } else if (item >= ONE_VALUE) {
            value = next_byte(player);
            item = 0;
        } else if (item >= CELLS_FOLLOW) {
            player->at = (uint16_t)(from + left);
        }
        if (skip >= left) {
            skip = (uint16_t)(skip - left);
            continue;
        }
        left = (uint8_t)(left - skip);
        from = (uint16_t)(from + skip);
        skip = 0;
        do {
            if (item >= CELLS_FOLLOW) {
                value = byte_at(player, from++);
            }
            *cells++ = value;
        } while (--count > 0 && --left > 0);
    } while (count > 0);
}

/* Lays what an area shows at a phase on the cells of the chunk at hand. */
static void paint(pageloom_player *player, uint8_t area, uint16_t phase, uint8_t *cells)
{
    pageloom_span span;
    uint8_t ink[2 * CHUNK], i, kind, own, step;
    const uint8_t *from;
    uint16_t across, rows_at, upper, lower;

    if (!find_span(player, area, &span)) {
        return;
    }
    from = span.rest;
    kind = PAGELOOM_NEXT(from);
    own = PAGELOOM_NEXT(from);
    if (span.rows > 0) {
        own = 0xFF;
    }
    i = PAGELOOM_NEXT(from);
    if (span.last == 0) {
        own &= i;
    }
    rows_at = PAGELOOM_NEXT(from);
    rows_at |= (uint16_t)((uint16_t)PAGELOOM_READ(from) << 8);
    across = 0;
    if (kind & ACROSS) {
        across = phase;
        phase = 0;
        if (kind & (DOWN | PICTURES)) {
            phase = across >> 8;
            across &= 0xFF;
        }
    }
    if (kind & PICTURES) {
        phase = (uint16_t)(phase * 8u * (uint8_t)(span.rows + span.last + 1));
    }
    rows_at = (uint16_t)(rows_at + ((phase >> 3) + span.rows) * 2u);
    step = (uint8_t)(phase & 7);
    across = (uint16_t)(across + span.column);
    player->at = rows_at;
    upper = next_word(player);
    lower = next_word(player);
    take_row(player, upper, across, ink, span.count);
    if (step > 0) {
        take_row(player, lower, across, ink + CHUNK, span.count);
    }
    cells += span.at;
    for (i = 0; i < span.count; i++) {
        uint8_t cell = (uint8_t)((uint16_t)(ink[i] | (uint16_t)(ink[CHUNK + i] << 8)) >> step), was = *cells;

        cell &= own;

        if (kind & CLEARS) {
            was &= (uint8_t)~cell;
        }
        if (kind & INKS) {
            was ^= cell;
        }
        *cells++ = was;
    }
}

/* The chunk at hand as all areas make it, in the frame before or in this one. */
static APART void compose(pageloom_player *player, uint8_t former, uint8_t *cells)
{
    const pageloom_area *area = player->slots;
    uint8_t i;

    for (i = 0; i < CHUNK; i++) {
        cells[i] = 0;
    }
    for (i = 0; i < player->count; i++) {
        paint(player, i, former ? area->former : area->phase, cells);
        area++;
    }
}

/* Sends a cell of the page at hand; the display's pointer is set to it unless it stands there. */
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

/* Composes a chunk that an area covers which moves, and sends what changes of it, with short gaps before it. */
static uint8_t look(pageloom_player *player, uint8_t count)
{
    uint8_t now[CHUNK], before[CHUNK], on = 0, first = player->column, spends = 1;
    uint16_t back = player->at;
    const pageloom_area *area = player->slots;
    pageloom_span span;

    do {
        if (player->phase == OPENING_AREAS || (has_moved(area) && find_span(player, on, &span))) {
            spends = LOOK_BYTES;
        }
        area++;
    } while (++on < player->count);
    player->allowed = (uint8_t)(player->allowed - spends);
    if (player->room > player->allowed) {
        player->room = player->allowed;
    }
    if (spends == 1) {
        player->column = (uint8_t)(first + count);
        return GO_ON;
    }
    compose(player, 0, now);
    if (player->phase != OPENING_AREAS) {
        compose(player, 1, before);
    }
    player->at = back;
    for (on = 0; on < count; on++) {
        uint8_t gap = (uint8_t)(first + on - player->pointer), from = on, status;

        if (player->phase != OPENING_AREAS && now[on] == before[on]) {
            continue;
        }
        if (gap < FAR_CELLS) {
            if (gap > on) { /* once more from there */
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

/* Areas are opened: all that the first one covers is sent. Or they begin anew with the next frame. */
static uint8_t begin_areas(pageloom_player *player, uint8_t operation)
{
    uint8_t area;

    if (operation == OP_RESTART_AREAS) {
        restart_areas(player);
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
    player->phase = OPENING_AREAS;
    (void)advance_areas(player);
    return GO_ON;
}

/* Looks at the cells of the first area, chunk by chunk, until the allowance is used up; FOUND_ALL when there are no more. */
static APART uint8_t walk(pageloom_player *player)
{
    while (player->allowed >= LEAST_FOR_A_LOOK) {
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
