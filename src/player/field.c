/* field.c - fills the fields of a scene from their font in flash; field.h says how to use it. */

/* Offsets in a field's table. After the characters come their glyphs, then the picture behind the field, all page by page. */
enum {
    FIELD_SCENE = 0,
    FIELD_COLUMN = 1,
    FIELD_PAGE = 2,
    FIELD_PAGES = 3,
    FIELD_CELLS = 4,
    FIELD_CELL_COLUMNS = 5,
    FIELD_FLAGS = 6,
    FIELD_CHARACTERS = 7,
    FIELD_CODES = 8
};

/* Flags: two bits for the alignment (0 left, 1 centre, 2 right), and whether the field shares bytes of the display with others. */
enum { FIELD_ALIGNMENT = 3, FIELD_SHARES = 4 };

/* The number of an empty cell. */
enum { FIELD_EMPTY = 0xFF };

#ifdef PAGELOOM_SHARED_FIELDS
/* The field that was started last. Each field points to the one started before it. */
static pageloom_field *pageloom_fields;
#endif

static uint8_t field_byte(const pageloom_field *field, uint16_t at)
{
    return PAGELOOM_READ(field->table + at);
}

static uint8_t field_glyph(const pageloom_field *field, char letter)
{
    uint8_t number, count = field_byte(field, FIELD_CHARACTERS);

    for (number = 0; number < count; number++) {
        if (field_byte(field, (uint16_t)(FIELD_CODES + number)) == (uint8_t)letter) {
            return number;
        }
    }
    return FIELD_EMPTY;
}

void pageloom_field_start(pageloom_field *field, const uint8_t *table, uint8_t *cells)
{
    uint8_t at;

#ifdef PAGELOOM_SHARED_FIELDS
    pageloom_field *known = pageloom_fields;

    while (known != 0 && known != field) {
        known = known->next;
    }
    if (known == 0) {
        field->next = pageloom_fields;
        pageloom_fields = field;
    }
    field->player = 0;
#endif
    field->table = table;
    field->cells = cells;
    field->entries = 0;
    field->page = 0;
    for (at = 0; at < 2 * field_byte(field, FIELD_CELLS); at++) {
        cells[at] = FIELD_EMPTY;
    }
}

void pageloom_field_set(pageloom_field *field, const char *text)
{
    uint8_t count = field_byte(field, FIELD_CELLS), length = 0, before, at;

    while (length < count && text[length] != 0) {
        length++;
    }
    before = (uint8_t)((count - length) * (field_byte(field, FIELD_FLAGS) & FIELD_ALIGNMENT) / 2);
    for (at = 0; at < count; at++) {
        uint8_t inside = at >= before && at - before < length;

        field->cells[at] = inside ? field_glyph(field, text[at - before]) : FIELD_EMPTY;
    }
}

#ifdef PAGELOOM_SHARED_FIELDS
/* Returns the pixels of a field in a byte of the display. */
static uint8_t field_shows(const pageloom_field *field, uint8_t page, uint8_t column)
{
    uint8_t columns = field_byte(field, FIELD_CELL_COLUMNS), pages = field_byte(field, FIELD_PAGES);
    uint8_t count = field_byte(field, FIELD_CELLS), cell = 0, shown;

    page = (uint8_t)(page - field_byte(field, FIELD_PAGE));
    column = (uint8_t)(column - field_byte(field, FIELD_COLUMN));
    if (page >= pages) {
        return 0;
    }
    for (; column >= columns; column = (uint8_t)(column - columns)) {
        cell++;
    }
    if (cell >= count) {
        return 0;
    }
    shown = field->cells[count + cell];
    if (cell == field->cell && page < field->page) { /* the upper pages of this character are already sent */
        shown = field->sending;
    }
    if (shown == FIELD_EMPTY) {
        return 0;
    }
    return field_byte(field, (uint16_t)(FIELD_CODES + field_byte(field, FIELD_CHARACTERS)
                                        + ((uint16_t)shown * pages + page) * columns + column));
}

/* Returns the pixels of all other fields in a byte of the display. */
static uint8_t field_others(const pageloom_field *field, uint8_t page, uint8_t column)
{
    const pageloom_field *other;
    uint8_t all = 0;

    for (other = pageloom_fields; other != 0; other = other->next) {
        if (other != field && other->player == field->player && other->entries == field->entries
            && field_byte(other, FIELD_SCENE) == field_byte(field, FIELD_SCENE)) {
            all |= field_shows(other, page, column);
        }
    }
    return all;
}

#endif

/* Sends one page of the current character: the glyph, the picture behind it, and the pixels of other fields there. */
static uint8_t field_send(const pageloom_field *field, const pageloom_player *player)
{
    uint8_t columns = field_byte(field, FIELD_CELL_COLUMNS), pages = field_byte(field, FIELD_PAGES);
    uint8_t characters = field_byte(field, FIELD_CHARACTERS), address = player->header[HEADER_ADDRESS];
    uint8_t column = (uint8_t)(field_byte(field, FIELD_COLUMN) + field->cell * columns), at;
    uint16_t glyphs = (uint16_t)(FIELD_CODES + characters), size = (uint16_t)(pages * columns);
    uint16_t glyph = (uint16_t)(glyphs + (uint16_t)field->sending * size + (uint16_t)(field->page * columns));
    uint16_t behind = (uint16_t)(glyphs + (uint16_t)(characters + field->cell) * size + (uint16_t)(field->page * columns));
    uint8_t page = (uint8_t)(field_byte(field, FIELD_PAGE) + field->page);
    uint8_t good = OPEN(address, COMMANDS)
        && (IS_BANKED(player) ? pageloom_bus_write(0x40 | page) && pageloom_bus_write(0x80 | column)
                              : pageloom_bus_write(0xB0 | page) && pageloom_bus_write(column & 15)
                                    && pageloom_bus_write((uint8_t)(0x10 | column >> 4)));

    good = pageloom_bus_stop() && good;
    if (!good) {
        return 0;
    }
    good = OPEN(address, DATA);
    for (at = 0; good && at < columns; at++) {
        uint8_t ink = field->sending == FIELD_EMPTY ? 0 : field_byte(field, (uint16_t)(glyph + at));

#ifdef PAGELOOM_SHARED_FIELDS
        if (field_byte(field, FIELD_FLAGS) & FIELD_SHARES) {
            ink |= field_others(field, (uint8_t)(field_byte(field, FIELD_PAGE) + field->page), (uint8_t)(column + at));
        }
#endif
        good = pageloom_bus_write(ink | field_byte(field, (uint16_t)(behind + at)));
    }
    return pageloom_bus_stop() && good;
}

/* Notices a scene that starts. It shows only the picture behind the field, so all cells are empty. */
static void field_notice(pageloom_field *field, const pageloom_player *player)
{
    uint8_t count = field_byte(field, FIELD_CELLS), at;

#ifdef PAGELOOM_SHARED_FIELDS
    field->player = player;
#endif
    if (field->entries != player->entries) {
        field->entries = player->entries;
        field->page = 0;
        for (at = 0; at < count; at++) {
            field->cells[count + at] = FIELD_EMPTY;
        }
    }
}

uint8_t pageloom_field_tick(pageloom_field *field, pageloom_player *player)
{
    uint8_t count = field_byte(field, FIELD_CELLS), cell;

    if (player->phase == FAULT) {
        return PAGELOOM_FAULT;
    }
    if ((player->phase != WAITING && player->phase != HELD) || player->scene != field_byte(field, FIELD_SCENE)) {
        return PAGELOOM_IDLE;
    }
    field_notice(field, player);
    if (field->page == 0) {
        for (cell = 0; cell < count && field->cells[cell] == field->cells[count + cell]; cell++) {
        }
        if (cell == count) {
            return PAGELOOM_IDLE;
        }
        field->cell = cell;
        field->sending = field->cells[cell];
    }
    if (!field_send(field, player)) {
        player->phase = FAULT;
        return PAGELOOM_FAULT;
    }
    field->page++;
    if (field->page == field_byte(field, FIELD_PAGES)) {
        field->page = 0;
        field->cells[count + field->cell] = field->sending;
    }
    return PAGELOOM_BUSY;
}
