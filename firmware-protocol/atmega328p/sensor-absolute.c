#include "sensor.h"

#include <util/atomic.h>

#include "absolute.h"
#include "clock.h"

const enum sensor_kind SENSOR_KIND = SENSOR_ABSOLUTE;
const uint8_t SENSOR_LINE_CHARS = 43;

static uint16_t angle;
static uint8_t flags;
static uint32_t read_us;
static uint32_t errors;

static void look(void) {
  uint16_t now = 0;
  const uint32_t before_us = clock_us();
  const enum reading reading = absolute_read(&now);
  read_us = before_us;
  if (reading == READING_FAILED) {
    if (errors < UINT32_MAX) errors++;
    flags = FLAG_SENSOR_FAULT;
    return;
  }
  flags = reading == READING_WEAK ? FLAG_MAGNET_WEAK : 0;
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) { angle = now; }
}

void sensor_start(void) {
  absolute_start();
  look();
}

void sensor_advance(uint32_t now_us) {
  if (now_us - read_us >= ABSOLUTE_EVERY_US) look();
}

struct sensor_reading sensor_read(void) {
  look();
  return (struct sensor_reading){.tick_us = read_us, .counts = angle, .flags = flags};
}

int32_t sensor_counts_in_interrupt(void) { return angle; }

uint32_t sensor_errors(void) { return errors; }
