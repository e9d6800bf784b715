#ifndef OVERBEND_ABSOLUTE_I2C_H
#define OVERBEND_ABSOLUTE_I2C_H

#include "bus.h"

/** A magnetic encoder on I²C, by its register layout. */
struct absolute_i2c_layout {
  uint8_t address;
  /** High byte of the angle; its low byte is in the register behind it. */
  uint8_t angle_register;
  /** How many bits of the low byte belong to the angle, from bit 0. */
  uint8_t low_bits;
  /** Bits of the angle, at most 14. */
  uint8_t bits;
  uint8_t status_register;
  /** A magnet is there when these bits read as `present`. */
  uint8_t present_mask;
  uint8_t present;
  /** Bits that say: the magnet is too weak. */
  uint8_t weak_mask;
};

/** 14 bits, high byte first with bits 13 to 6, then bits 5 to 0; a turn has 16384 counts. */
extern const struct absolute_i2c_layout ABSOLUTE_I2C_14;
/** 12 bits, high byte first with bits 11 to 8; a turn has 4096 counts. */
extern const struct absolute_i2c_layout ABSOLUTE_I2C_12;

/**
 * @param angle 0 to 2^bits − 1; untouched when the reading failed.
 * @return READING_FAILED when the sensor does not answer or sees no magnet.
 */
enum reading absolute_i2c_read(const struct absolute_i2c_layout *layout, const struct i2c_bus *bus,
                               uint16_t *angle);

#endif
