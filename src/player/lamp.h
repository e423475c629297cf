/*
 * Lamps: the level of a lamp over time, 0 to 255, from a table in flash that was made from the script. A call reads one level and
 * returns. It needs no RAM.
 *
 *     uint32_t started = milliseconds();                                     when the pattern starts
 *     ...
 *     set_duty(pageloom_lamp_level(helm_lamp_beacon, milliseconds() - started));    in each pass of the main loop
 *
 * Caution: each lamp needs its series resistor. A pin can drive only a few milliamperes: the data sheet of the microcontroller gives the
 * limits of each pin and of all pins together. A larger load needs a transistor. Light that flashes more than three times a second
 * can harm photosensitive people.
 */
uint8_t pageloom_lamp_level(const uint8_t *lamp, uint32_t elapsed);
