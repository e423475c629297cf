/*
 * The supervisor: what real modules need besides the show. It waits after power-up until the module is ready, calls your function
 * that pulses the reset pin, switches the module on in the order of its data sheet, and sets up the display. After a fault it starts
 * again with the wait, so a display that was unplugged and plugged in again shows a complete picture. At an interval of some seconds
 * it repeats the set-up between two frames, because disturbances and supply dips can change registers. It leaves out what the show
 * itself changes, so nothing flickers. It never blocks. Call pageloom_supervise instead of pageloom_tick:
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
    const uint8_t *display; /* table of the module, in flash */
    void (*reset)(void);    /* pulls the reset pin low for at least 10 us, then sets it high; 0 without a reset pin */
    uint16_t since;         /* start of the wait, or of this second */
    uint8_t every;          /* seconds from one set-up to the next; 0 for never */
    uint8_t seconds;        /* seconds since the last set-up */
    uint8_t next;           /* offset of the next commands, 0 for none */
    uint8_t stops;          /* whether the display is being switched off */
    uint8_t rests;          /* whether the player waits for its next frame */
    uint8_t state;          /* powered, waiting, running, off */
} pageloom_supervisor;

/* Starts with the wait. Call pageloom_start first. `display` is the table NAME_display of the show. */
void pageloom_supervise_start(pageloom_supervisor *supervisor, pageloom_player *player, const uint8_t *display);

/* Calls the player once, like pageloom_tick. After PAGELOOM_FAULT it recovers by itself; you need not do anything. */
uint8_t pageloom_supervise(pageloom_supervisor *supervisor, uint16_t now_ms, uint8_t allowance);

/*
 * Switches the display off in the order of its data sheet, after the current frame is complete. Keep calling pageloom_supervise until
 * pageloom_is_off returns nonzero. Then you may cut the supply. pageloom_supervise_start switches the display on again.
 */
void pageloom_supervise_off(pageloom_supervisor *supervisor);

/* Whether the display is off and its waits are over. */
uint8_t pageloom_is_off(const pageloom_supervisor *supervisor);
