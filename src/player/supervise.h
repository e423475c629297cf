/*
 * The supervisor: what real modules need beside the show. It waits after power-up until the module can listen, calls a function
 * that pulses the reset pin if there is one, switches the module on in the order of its data sheet, sets the display up, and after a
 * fault begins again from the wait, so that a display that was unplugged is found again and shows a whole picture. Every so many seconds it sends the set-up again between two frames,
 * since sparks and sagging supplies spoil registers: what the show itself changes is left out, so nothing flickers.
 * Nothing in it blocks. Call pageloom_supervise in place of pageloom_tick:
 *
 *     pageloom_start(&player, helm_reel, HELM_REEL_SIZE);
 *     pageloom_supervise_start(&supervisor, &player, helm_display);
 *     supervisor.reset = pulse_reset;                     only if the module has a reset pin
 *     supervisor.every = 10;                              seconds from one set-up to the next
 *     ...
 *     switch (pageloom_supervise(&supervisor, milliseconds(), 16)) {
 */
typedef struct {
    pageloom_player *player;
    const uint8_t *display; /* what the compiler knows of the module, in flash */
    void (*reset)(void);    /* pulls the reset pin low for 10 us at least, then lets it rise; 0 without one */
    uint16_t since;         /* when the wait, or this second, began */
    uint8_t every;          /* seconds from one set-up to the next; 0 for never */
    uint8_t seconds;        /* gone since the last one */
    uint8_t next;           /* offset of the commands to be sent next, 0 for none */
    uint8_t stops;          /* is to be switched off */
    uint8_t rests;          /* the player waits for its next frame */
    uint8_t state;          /* powered, waiting, running, off */
} pageloom_supervisor;

/* Begins with the wait; the player must have been started. `display` is the show's table of that name. */
void pageloom_supervise_start(pageloom_supervisor *supervisor, pageloom_player *player, const uint8_t *display);

/* One call of the player, as pageloom_tick. After PAGELOOM_FAULT it goes on by itself: there is nothing to be done. */
uint8_t pageloom_supervise(pageloom_supervisor *supervisor, uint16_t now_ms, uint8_t allowance);

/*
 * Switches the display off in the order of its data sheet, once the frame being sent is whole. Go on calling pageloom_supervise; when
 * pageloom_is_off says so, the supply may be cut. pageloom_supervise_start switches it on again.
 */
void pageloom_supervise_off(pageloom_supervisor *supervisor);

/* Whether the display was switched off, and its waits are over. */
uint8_t pageloom_is_off(const pageloom_supervisor *supervisor);
