#include "absolute.h"

#include "../library/absolute-i2c.h"
#include "i2c.h"
#include "sensor.h"

/* The Makefile's LAYOUT says which register layout: 14 or 12 bits. */
#if I2C_ENCODER_BITS == 14
#define LAYOUT ABSOLUTE_I2C_14
#elif I2C_ENCODER_BITS == 12
#define LAYOUT ABSOLUTE_I2C_12
#else
#error I2C_ENCODER_BITS is 14 or 12.
#endif

/** Angle and status take 1 ms at 100 kHz. */
const uint16_t ABSOLUTE_EVERY_US = 5000;
const uint32_t SENSOR_COUNTS_PER_TURN = 1UL << I2C_ENCODER_BITS;

void absolute_start(void) { i2c_start(); }

enum reading absolute_read(uint16_t *angle) { return absolute_i2c_read(&LAYOUT, &I2C_BUS, angle); }
