/* film.c - decodes the frames of a film, draws them on a copy of the picture, and sends the cells that changed. */
#include "film_canvas.c"

/* Bytes of the allowance that a cell drawn pixel by pixel uses up, because it takes time. */
enum { PIXELS_SPEND = 2 };

/* The stages of drawing a frame. CELL_UNSENT: the current cell is drawn but not sent. FILM_BLANKS: all cells become dark first. */
enum { FILM_WAITS, FILM_DRAWS, CELL_UNSENT, FILM_BLANKS };

/* Draws the current cell. Returns whether it changed. */
static APART uint8_t draw_film_cell(pageloom_player *player)
{
    pageloom_film *film = &player->copy.film;
    uint8_t old = *film->here, likely = old, fresh = old, kind = 0;

    if (cell_changes(film, old)) {
        if (film->copies) {
            likely = cell_near(film, -1);
        }
        if (likely != old && copies_left(film, old, likely)) {
            fresh = likely;
            kind = IS_COPIED;
        } else {
            fresh = draw_pixels(film, likely);
            kind = IS_DRAWN_CELL;
            spend(player, PIXELS_SPEND);
        }
    }
    *film->here = fresh;
    film->kind = kind;
    film->change = fresh ^ old;
    film->history = (uint8_t)(film->history << 1);
    if (fresh == old) {
        return 0;
    }
    film->history |= 1;
    film->changed[film->column >> 3] |= film->bit;
    return 1;
}

/* Goes to the start of a page. */
static APART void begin_film_page(pageloom_film *film, uint8_t page)
{
    film->page = page;
    film->page_bit = (uint8_t)(1u << page);
    film->column = 0;
    film->bit = 1;
    film->here = film->cells + (uint16_t)(page * PAGELOOM_COLUMNS);
    film->pointer = NOWHERE;
    film->change = 0;
    film->history = 0;
    film->kind = 0;
}

/* Moves on by a number of cells. At the end of a page, goes to the next page; after the last page, ends the frame. */
static APART uint8_t film_goes_on(pageloom_player *player, uint8_t cells)
{
    pageloom_film *film = &player->copy.film;

    film->here += cells;
    film->column = (uint8_t)(film->column + cells);
    if (film->column < PAGELOOM_COLUMNS) {
        return GO_ON;
    }
    begin_film_page(film, (uint8_t)(film->page + 1));
    if (film->page < PAGELOOM_PAGES) {
        return GO_ON;
    }
    film->stage = FILM_WAITS;
    if (film->key) {
        film->key = 0;
        blank(film->busy, sizeof film->busy);
    }
    player->draws--;
    return player->draws > 0 ? frame_ends(player, WAITING, 0) : GO_ON;
}

/* Draws a part of a frame: at most one cell, or eight cells that do not change. */
static APART uint8_t draw_film(pageloom_player *player)
{
    pageloom_film *film = &player->copy.film;
    uint8_t status;

    if (film->stage == FILM_BLANKS) { /* this uses up the rest of a call */
        film->stage = FILM_WAITS;
        blank(film->cells, sizeof film->cells);
        return PAGELOOM_BUSY;
    }
    if (film->stage == FILM_WAITS) {
        film->stage = FILM_DRAWS;
        film->has_model = PICTURE_DRAWN;
        blank(film->changed, sizeof film->changed);
        begin_film_page(film, 0);
    }
    if (film->stage == FILM_DRAWS && film->bit == 1 && !eight_changes(film)) {
        return film_goes_on(player, 8);
    }
    if (film->stage == CELL_UNSENT || draw_film_cell(player) || film->key) {
        film->stage = CELL_UNSENT;
        status = send_drawn(player, film->column);
        if (status != GO_ON) {
            return status;
        }
        film->stage = FILM_DRAWS;
    }
    film->bit = (uint8_t)(film->bit << 1);
    if (film->bit == 0) {
        film->bit = 1;
    }
    return film_goes_on(player, 1);
}

/* Reads the model of all streams. Without a model nothing is drawn. */
static uint8_t open_film_model(pageloom_player *player)
{
    pageloom_film *film = &player->copy.film;
    uint16_t steps = next_word(player), behind = player->at, left;
    uint8_t number, widths = 0, good;

#ifdef PAGELOOM_DENSE
    blank((uint8_t *)film, sizeof *film); /* another picture may have used this memory */
#endif
    film->has_model = 0;
    film->key = 0;
    film->stage = FILM_WAITS;
    film->decoder.stream = player->reel;
    film->end = player->reel + player->reel_size;
    player->at = steps;
    good = next_byte(player) == PAGELOOM_COLUMNS && next_byte(player) == PAGELOOM_PAGES;
    film->first_column = next_byte(player);
    /* The tables follow their widths, which are stored two to a byte. */
    steps = (uint16_t)(player->at + (PAGELOOM_TABLES + 1) / 2);
    left = (uint16_t)(player->reel_size - steps);
    if (steps < player->at || steps >= player->reel_size) {
        good = 0;
    }
    for (number = 0; number < PAGELOOM_TABLES && good; number++) {
        pageloom_table *table = film->tables + number;
        uint16_t entries;

        widths = number & 1 ? widths >> 4 : next_byte(player);
        entries = (uint16_t)(1u << (widths & 15));
        table->steps = no_step;
        table->mask = 0;
        if (entries == 1) {
            continue;
        }
        if ((widths & 15) > WIDEST_TABLE || entries > left) {
            good = 0;
        }
        table->steps = player->reel + steps;
        table->mask = (uint8_t)(entries - 1);
        steps = (uint16_t)(steps + entries);
        left = (uint16_t)(left - entries);
    }
    player->at = behind;
    film->has_model = good ? MODEL_READ : 0;
    return good ? GO_ON : PAGELOOM_FAULT;
}

/* Opens a stream at the start of a scene or at one of its frames, or reads a model. */
static uint8_t open_film(pageloom_player *player, uint8_t operation)
{
    pageloom_film *film = &player->copy.film;
    uint8_t first;
    uint16_t stream;

    if (operation == OP_FILM) {
        return open_film_model(player);
    }
    if (!film->has_model) {
        return PAGELOOM_FAULT;
    }
    film->stage = FILM_WAITS;
    first = next_byte(player);
    stream = next_word(player);
    film->decoder.stream = film->end;
    if (stream < player->reel_size) {
        film->decoder.stream = player->reel + stream;
    }
    film->decoder.low = next_byte(player);
    film->decoder.middle = next_byte(player);
    film->decoder.high = next_byte(player);
    if (operation == OP_KEY) {
        film->key = FILM_OPENS;
        film->copies = first & MAY_COPY;
        film->stage = FILM_BLANKS;
    }
    if (operation != OP_AGAIN) {
        blank(film->busy, sizeof film->busy);
    }
    return GO_ON;
}
