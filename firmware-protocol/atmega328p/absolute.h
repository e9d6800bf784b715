#ifndef OVERBEND_ABSOLUTE_H
#define OVERBEND_ABSOLUTE_H

#include "../library/bus.h" // enum reading

/*
 * One absolute encoder a build: absolute-over-spi.c or absolute-over-i2c.c.
 */

/** A pedal's edge takes the last angle, so that is never older than this and one reading's time. */
extern const uint16_t ABSOLUTE_EVERY_US;

void absolute_start(void);

/** @param angle 0 to counts a turn − 1; untouched when the reading failed. */
enum reading absolute_read(uint16_t *angle);

#endif
