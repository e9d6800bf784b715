#include "clock.h"
#include "i2c.h"
#include "sensor.h"

/* The Makefile's ACCELEROMETER says which register layout. */
#ifdef ACCELEROMETER_LAYOUT_LOW_FIRST
#define LAYOUT ACCELEROMETER_LOW_FIRST
#else
#define LAYOUT ACCELEROMETER_HIGH_FIRST
#endif

/** A sensor that was pulled off and plugged in again has to be set up anew. */
static const uint32_t SET_UP_AGAIN_US = 500000;

const enum sensor_kind SENSOR_KIND = SENSOR_ACCELEROMETER;
const uint32_t SENSOR_COUNTS_PER_TURN = 16384;
const uint8_t SENSOR_LINE_CHARS = 57;

static bool is_set_up;
static uint32_t tried_us;
static struct acceleration last;
static uint32_t errors;

void sensor_start(void) {
  i2c_start();
  is_set_up = accelerometer_start(&LAYOUT, &I2C_BUS);
  tried_us = clock_us();
}

void sensor_advance(uint32_t now_us) {
  if (is_set_up || now_us - tried_us < SET_UP_AGAIN_US) return;
  is_set_up = accelerometer_start(&LAYOUT, &I2C_BUS);
  tried_us = now_us;
}

struct sensor_reading sensor_read(void) {
  struct sensor_reading reading = {.tick_us = clock_us()};
  is_set_up = is_set_up && accelerometer_read(&LAYOUT, &I2C_BUS, &last) == READING_GOOD;
  if (!is_set_up) {
    if (errors < UINT32_MAX) errors++;
    reading.flags = FLAG_SENSOR_FAULT;
  }
  reading.axes = last;
  return reading;
}

/** Three axes have no one count. */
int32_t sensor_counts_in_interrupt(void) { return 0; }

uint32_t sensor_errors(void) { return errors; }
