/* inputs.c - reads and debounces inputs. A level counts after four equal readings, 5 ms apart. Contacts bounce for a shorter time
 * (common practice). */
#include <avr/io.h>
#include "inputs.h"

enum { LOOK_MILLISECONDS = 5, LOOKS = 4 };

/* Pins of port D. The button and the leak sensor close to ground; internal pull-ups are on. */
enum { LEAK_PIN = PD2, MOTION_PIN = PD3, BUTTON_PIN = PD4 };

void inputs_begin(void)
{
    PORTD |= _BV(LEAK_PIN) | _BV(BUTTON_PIN);
}

static uint8_t levels(void)
{
    uint8_t pins = PIND, on = 0;

    if (!(pins & _BV(LEAK_PIN))) {
        on |= INPUT_LEAK;
    }
    if (pins & _BV(MOTION_PIN)) {
        on |= INPUT_MOTION;
    }
    if (!(pins & _BV(BUTTON_PIN))) {
        on |= INPUT_BUTTON;
    }
    return on;
}

uint8_t inputs_that_came(uint16_t now)
{
    static uint16_t looked;
    static uint8_t last, same, steady;
    uint8_t on, came = 0;

    if ((uint16_t)(now - looked) < LOOK_MILLISECONDS) {
        return 0;
    }
    looked = now;
    on = levels();
    same = on == last ? same + 1 : 1;
    last = on;
    if (same >= LOOKS) {
        same = LOOKS;
        came = on & (uint8_t)~steady;
        steady = on;
    }
    return came;
}
