/*
 * Lamps: the level of a lamp over time as the script has it, 0 to 255, from a table in flash. A call looks one level up and
 * returns; it keeps nothing.
 *
 *     uint32_t started = milliseconds();                                     when the pattern is to begin
 *     ...
 *     set_duty(pageloom_lamp_level(helm_lamp_beacon, milliseconds() - started));    as often as the main loop comes by
 *
 * Caution: each lamp needs its series resistor, and a pin drives a few milliamperes only: the limits of each pin and of all
 * pins together are in the data sheet of the microcontroller. Anything larger needs a transistor. What flashes more than three
 * times a second can harm photosensitive people.
 */
uint8_t pageloom_lamp_level(const uint8_t *lamp, uint32_t elapsed);
