#ifndef OVERBEND_SENSOR_H
#define OVERBEND_SENSOR_H

#include "../library/accelerometer.h" // struct acceleration
#include "../library/sentence.h" // enum sensor_kind

/*
 * One sensor a build: the Makefile chooses which sensor-….c is linked.
 */

struct sensor_reading {
  /** When the sensor was read. */
  uint32_t tick_us;
  /** Without meaning for an accelerometer. */
  int32_t counts;
  /** Without meaning for the others. */
  struct acceleration axes;
  /** FLAG_SENSOR_FAULT and FLAG_MAGNET_WEAK. */
  uint8_t flags;
};

extern const enum sensor_kind SENSOR_KIND;
/** Counts a turn; counts a g for an accelerometer. */
extern const uint32_t SENSOR_COUNTS_PER_TURN;
/** Longest line of a reading without second channel, with its ending. */
extern const uint8_t SENSOR_LINE_CHARS;

void sensor_start(void);

/** Reads what has to be at hand for a pedal's edge. To be called all the time. */
void sensor_advance(uint32_t now_us);

/** A fresh reading. On a fault the counts are the last good ones and the flag says so. */
struct sensor_reading sensor_read(void);

/** For a pedal's edge, with interrupts off: the counts of now, or the last ones. */
int32_t sensor_counts_in_interrupt(void);

/** Readings that failed since the start; stops at its top. */
uint32_t sensor_errors(void);

#endif
