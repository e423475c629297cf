/*
 * Fields: places in a scene that the firmware fills while the show plays, such as a depth or a voltage. There is no copy of
 * the picture: a field knows only which characters are wanted and which are shown, and sends those that differ.
 *
 *     static uint8_t depth_cells[2 * HELM_FIELD_DEPTH_CELLS];
 *     static pageloom_field depth;
 *     pageloom_field_start(&depth, helm_field_depth, depth_cells);
 *     ...
 *     pageloom_field_set(&depth, "318");                  as often as it changes
 *     if (pageloom_tick(...) == PAGELOOM_IDLE)            when the player has nothing to send
 *         pageloom_field_tick(&depth, &player);
 *
 * With PAGELOOM_SHARED_FIELDS defined, which a show's header does where it is needed, fields may share bytes of the display:
 * each one is sent with what those show there that were started.
 */
typedef struct pageloom_field {
    const uint8_t *table; /* what the compiler knows of the field, in flash */
    uint8_t *cells;       /* two bytes for each character: what is wanted, then what is shown */
    uint8_t entries;      /* the player's count of scenes entered when the field was last looked at */
    uint8_t cell;         /* the place of the character being sent */
    uint8_t page;         /* its next page */
    uint8_t sending;      /* its number */
#ifdef PAGELOOM_SHARED_FIELDS
    struct pageloom_field *next;   /* the field started before this one */
    const pageloom_player *player; /* the player that it was last looked at with */
#endif
} pageloom_field;

/*
 * Puts an empty field at its table; `cells` holds two bytes for each of its characters. Both stay in use: keep them for as long as
 * any field is.
 */
void pageloom_field_start(pageloom_field *field, const uint8_t *table, uint8_t *cells);

/* What the field is to show; what does not fit its width is cut off, what its font lacks stays empty. */
void pageloom_field_set(pageloom_field *field, const char *text);

/*
 * Sends at most one piece of one character, 7 bytes and one for each of its columns: PAGELOOM_BUSY if a piece was sent,
 * PAGELOOM_IDLE if there is nothing to do or a frame is being sent, PAGELOOM_FAULT as for pageloom_tick.
 */
uint8_t pageloom_field_tick(pageloom_field *field, pageloom_player *player);
