/* supervise.c - waits for a module, begins again after faults, refreshes its registers; supervise.h says how to use it. */

/* A display's table: milliseconds to wait after power-up, then groups of commands (count, bytes), and a count of 0. */
enum { DISPLAY_WAIT = 0, DISPLAY_GROUPS = 1 };

enum { POWERED, LISTENING_SOON, RUNNING };

enum { MILLISECONDS_A_SECOND = 1000 };

void pageloom_supervise_start(pageloom_supervisor *supervisor, pageloom_player *player, const uint8_t *display)
{
    supervisor->player = player;
    supervisor->display = display;
    supervisor->reset = 0;
    supervisor->every = 0;
    supervisor->state = POWERED;
}

/* Sends the next group of commands, which is the last one if its count is 0. */
static uint8_t send_group(pageloom_supervisor *supervisor)
{
    const uint8_t *at = supervisor->display + supervisor->next;
    uint8_t count = PAGELOOM_READ(at), good;

    if (count == 0) {
        supervisor->next = 0;
        return PAGELOOM_IDLE;
    }
    supervisor->next = (uint8_t)(supervisor->next + count + 1);
    good = OPEN(supervisor->player->header[HEADER_ADDRESS], COMMANDS);
    for (; good && count > 0; count--) {
        at++;
        good = pageloom_bus_write(PAGELOOM_READ(at));
    }
    return pageloom_bus_stop() && good ? PAGELOOM_BUSY : PAGELOOM_FAULT;
}

/* Whether the module has had its time; it is then set up from its reset on. */
static uint8_t is_listening(pageloom_supervisor *supervisor, uint16_t now)
{
    if (supervisor->state == POWERED) {
        supervisor->since = now;
        supervisor->state = LISTENING_SOON;
    }
    if ((uint16_t)(now - supervisor->since) < PAGELOOM_READ(supervisor->display + DISPLAY_WAIT)) {
        return 0;
    }
    if (supervisor->reset) {
        supervisor->reset();
    }
    pageloom_restart(supervisor->player);
    supervisor->since = now;
    supervisor->seconds = 0;
    supervisor->next = 0;
    supervisor->state = RUNNING;
    return 1;
}

uint8_t pageloom_supervise(pageloom_supervisor *supervisor, uint16_t now_ms, uint8_t allowance)
{
    uint8_t status;

    if (supervisor->state != RUNNING && !is_listening(supervisor, now_ms)) {
        return PAGELOOM_IDLE;
    }
    if ((uint16_t)(now_ms - supervisor->since) >= MILLISECONDS_A_SECOND) {
        supervisor->since = (uint16_t)(supervisor->since + MILLISECONDS_A_SECOND);
        if (++supervisor->seconds == supervisor->every) {
            supervisor->seconds = 0;
            supervisor->next = DISPLAY_GROUPS;
        }
    }
    status = pageloom_tick(supervisor->player, now_ms, allowance);
    if (status == PAGELOOM_IDLE && supervisor->next > 0) {
        status = send_group(supervisor);
    }
    if (status == PAGELOOM_FAULT) {
        supervisor->player->phase = FAULT;
        supervisor->state = POWERED;
    }
    return status;
}
