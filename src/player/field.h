/*
 * Fields: texts in a scene that the firmware writes while the show plays, such as a depth or a voltage. There is no copy of the
 * picture. A field stores the wanted and the shown characters, and sends those that differ.
 *
 *     static uint8_t depth_cells[2 * HELM_FIELD_DEPTH_CELLS];
 *     static pageloom_field depth;
 *     pageloom_field_start(&depth, helm_field_depth, depth_cells);
 *     ...
 *     pageloom_field_set(&depth, "318");                  as often as it changes
 *     if (pageloom_tick(...) == PAGELOOM_IDLE)            when the player has nothing to send
 *         pageloom_field_tick(&depth, &player);
 *
 * With PAGELOOM_SHARED_FIELDS, fields can share bytes of the display: a field is sent together with the pixels that other fields have
 * there. pageloom_config.h defines it if a show needs it.
 */
typedef struct pageloom_field {
    const uint8_t *table; /* table of the field, in flash */
    uint8_t *cells;       /* two bytes for each character: the wanted one, then the shown one */
    uint8_t entries;      /* the player's number of entered scenes at the last call */
    uint8_t cell;         /* the place of the character being sent */
    uint8_t page;         /* its next page */
    uint8_t sending;      /* its number */
#ifdef PAGELOOM_SHARED_FIELDS
    struct pageloom_field *next;   /* the field started before this one */
    const pageloom_player *player; /* the player of the last call */
#endif
} pageloom_field;

/*
 * Starts an empty field. `cells` has two bytes for each of its characters. Keep the field and `cells` in memory as long as any field
 * is used.
 */
void pageloom_field_start(pageloom_field *field, const uint8_t *table, uint8_t *cells);

/* Sets the text of the field. Text beyond its width is cut off. Characters that its font does not have stay empty. */
void pageloom_field_set(pageloom_field *field, const char *text);

/*
 * Sends at most one piece of one character, which takes 7 bytes and one for each of its columns: PAGELOOM_BUSY if a piece was sent,
 * PAGELOOM_IDLE if there is nothing to do or a frame is being sent, PAGELOOM_FAULT as for pageloom_tick.
 */
uint8_t pageloom_field_tick(pageloom_field *field, pageloom_player *player);
