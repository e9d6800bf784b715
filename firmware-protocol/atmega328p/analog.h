#ifndef OVERBEND_ANALOG_H
#define OVERBEND_ANALOG_H

#include <stdbool.h>
#include <stdint.h>

/** @param bandgap_mv The chip's own reference, 1000 to 1200; 1100 when it was never measured. */
void analog_start(uint16_t bandgap_mv);

/** Takes a conversion that is done and begins the next one. To be called all the time; never waits. */
void analog_advance(void);

/** Supply in millivolts; 0 until it was measured. */
uint16_t analog_supply_mv(void);

/** The second channel, 0 to 1023 of the supply. @return false when there is none, or nothing yet. */
bool analog_second(int32_t *second);

#endif
