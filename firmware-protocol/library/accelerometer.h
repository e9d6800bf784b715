#ifndef OVERBEND_ACCELEROMETER_H
#define OVERBEND_ACCELEROMETER_H

#include "bus.h"

enum { ACCELEROMETER_SET_UP_MAX = 3 };

/** A three-axis accelerometer on I²C, by its register layout. */
struct accelerometer_layout {
  uint8_t address;
  /** Where it says what it is, and what it says there. */
  uint8_t identity_register;
  uint8_t identity;
  /** Registers that set it going, in order. */
  uint8_t set_up_count;
  struct {
    uint8_t at;
    uint8_t byte;
  } set_up[ACCELEROMETER_SET_UP_MAX];
  /** First of six: x, y and z of 16 bits each. */
  uint8_t axes_register;
  bool low_byte_first;
  /** At the range that the set-up chooses. */
  uint16_t counts_per_g;
};

/** High byte first, 16 bits, ±2 g: 16384 counts a g. */
extern const struct accelerometer_layout ACCELEROMETER_HIGH_FIRST;
/** Low byte first, 12 bits from the left, ±2 g: 16384 counts a g. */
extern const struct accelerometer_layout ACCELEROMETER_LOW_FIRST;

struct acceleration {
  int16_t x, y, z;
};

/** @return false when no sensor of this layout answers. */
bool accelerometer_start(const struct accelerometer_layout *layout, const struct i2c_bus *bus);

/** @param axes Counts, −32768 to 32767 each; untouched when the reading failed. */
enum reading accelerometer_read(const struct accelerometer_layout *layout, const struct i2c_bus *bus,
                                struct acceleration *axes);

#endif
