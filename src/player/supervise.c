/* supervise.c - waits for a module, restarts it after faults, repeats its set-up, switches it off; supervise.h says how to use it. */

/*
 * A display's table: milliseconds to wait after power-up; offset of the groups; offset of the steps that switch off; the steps that
 * follow the reset; the groups of the set-up; the steps that switch off. A group is a count and that many command bytes. A step is
 * milliseconds to wait, then a group. A count of 0 ends groups and steps.
 */
enum { DISPLAY_WAIT = 0, DISPLAY_GROUPS = 1, DISPLAY_OFF_STEPS = 2, DISPLAY_ON_STEPS = 3 };

enum { POWERED, LISTENING_SOON, STARTING, RUNNING, STOPPING, OFF };

enum { MILLISECONDS_A_SECOND = 1000 };

void pageloom_supervise_start(pageloom_supervisor *supervisor, pageloom_player *player, const uint8_t *display)
{
    supervisor->player = player;
    supervisor->display = display;
    supervisor->reset = 0;
    supervisor->every = 0;
    supervisor->stops = 0;
    supervisor->rests = 0;
    supervisor->state = POWERED;
}

void pageloom_supervise_off(pageloom_supervisor *supervisor)
{
    supervisor->stops = 1;
}

uint8_t pageloom_is_off(const pageloom_supervisor *supervisor)
{
    return supervisor->state == OFF;
}

static uint8_t of_display(const pageloom_supervisor *supervisor, uint8_t at)
{
    return PAGELOOM_READ(supervisor->display + at);
}

/* Sends the next group of commands of the table. Returns GO_ON if its count is 0. */
static uint8_t send_group(pageloom_supervisor *supervisor)
{
    const uint8_t *at = supervisor->display + supervisor->next;
    uint8_t count = PAGELOOM_READ(at), good;

    supervisor->next = (uint8_t)(supervisor->next + count + 1);
    if (count == 0) {
        return GO_ON;
    }
    good = OPEN(supervisor->player->header[HEADER_ADDRESS], COMMANDS);
    for (; good && count > 0; count--) {
        at++;
        good = pageloom_bus_write(PAGELOOM_READ(at));
    }
    return pageloom_bus_stop() && good ? PAGELOOM_BUSY : PAGELOOM_FAULT;
}

/* Waits and sends as the steps say. Returns GO_ON after the last step. */
static uint8_t take_step(pageloom_supervisor *supervisor, uint16_t now)
{
    if ((uint16_t)(now - supervisor->since) < of_display(supervisor, supervisor->next)) {
        return PAGELOOM_IDLE;
    }
    supervisor->since = now;
    supervisor->next++;
    return send_group(supervisor);
}

/* Begins the steps at an offset of the table. */
static void begin_steps(pageloom_supervisor *supervisor, uint8_t at, uint8_t state, uint16_t now)
{
    supervisor->next = at;
    supervisor->since = now;
    supervisor->state = state;
}

/* Resets the module when its wait is over, and begins the steps that follow. */
static void listen(pageloom_supervisor *supervisor, uint16_t now)
{
    if (supervisor->state == POWERED) {
        supervisor->since = now;
        supervisor->state = LISTENING_SOON;
    }
    if (supervisor->stops) {
        supervisor->state = OFF;
    } else if ((uint16_t)(now - supervisor->since) >= of_display(supervisor, DISPLAY_WAIT)) {
        if (supervisor->reset) {
            supervisor->reset();
        }
        begin_steps(supervisor, DISPLAY_ON_STEPS, STARTING, now);
    }
}

/* Calls the player. Between frames, sends a group of the set-up if that is due, or begins to switch off. */
static uint8_t supervise_play(pageloom_supervisor *supervisor, uint16_t now, uint8_t allowance)
{
    uint8_t status;

    if ((uint16_t)(now - supervisor->since) >= MILLISECONDS_A_SECOND) {
        supervisor->since = (uint16_t)(supervisor->since + MILLISECONDS_A_SECOND);
        if (++supervisor->seconds == supervisor->every) {
            supervisor->seconds = 0;
            supervisor->next = of_display(supervisor, DISPLAY_GROUPS);
        }
    }
    if (supervisor->rests && supervisor->next > 0) { /* without the player, so that no call sends more than its allowance */
        supervisor->rests = 0;
        status = send_group(supervisor);
        if (status != GO_ON) {
            return status;
        }
        supervisor->next = 0;
    }
    status = pageloom_tick(supervisor->player, now, allowance);
    supervisor->rests = status == PAGELOOM_IDLE;
    if (supervisor->rests && supervisor->stops) {
        begin_steps(supervisor, of_display(supervisor, DISPLAY_OFF_STEPS), STOPPING, now);
    }
    return status;
}

uint8_t pageloom_supervise(pageloom_supervisor *supervisor, uint16_t now_ms, uint8_t allowance)
{
    uint8_t status = PAGELOOM_IDLE;

    if (supervisor->state <= LISTENING_SOON) {
        listen(supervisor, now_ms);
    }
    if (supervisor->state == STARTING || supervisor->state == STOPPING) {
        status = take_step(supervisor, now_ms);
        if (status == GO_ON) {
            status = PAGELOOM_IDLE;
            supervisor->state++;
            supervisor->seconds = 0;
            supervisor->next = 0;
            pageloom_restart(supervisor->player);
        }
    }
    if (supervisor->state == RUNNING) {
        status = supervise_play(supervisor, now_ms, allowance);
    }
    if (status == PAGELOOM_FAULT) {
        supervisor->player->phase = FAULT;
        supervisor->state = POWERED;
    }
    return status;
}
