#include "accelerometer.h"

const struct accelerometer_layout ACCELEROMETER_HIGH_FIRST = {
    .address = 0x68,
    .identity_register = 0x75,
    .identity = 0x68,
    // Out of sleep on its own clock; 44 Hz low pass, for shop floors shake faster than benders turn; ±2 g.
    .set_up_count = 3,
    .set_up = {{0x6B, 0x01}, {0x1A, 0x03}, {0x1C, 0x00}},
    .axes_register = 0x3B,
    .low_byte_first = false,
    .counts_per_g = 16384};

const struct accelerometer_layout ACCELEROMETER_LOW_FIRST = {
    .address = 0x18,
    .identity_register = 0x0F,
    .identity = 0x33,
    // 400 readings a second, all axes; whole readings only, ±2 g, high resolution.
    .set_up_count = 2,
    .set_up = {{0x20, 0x77}, {0x23, 0x88}},
    // Bit 7 asks the sensor to go on to the next register by itself.
    .axes_register = 0x28 | 0x80,
    .low_byte_first = true,
    .counts_per_g = 16384};

bool accelerometer_start(const struct accelerometer_layout *layout, const struct i2c_bus *bus) {
  uint8_t identity;
  if (!bus->read(layout->address, layout->identity_register, &identity, 1)) return false;
  if (identity != layout->identity) return false;
  for (uint8_t at = 0; at < layout->set_up_count; at++)
    if (!bus->write(layout->address, layout->set_up[at].at, layout->set_up[at].byte)) return false;
  return true;
}

static int16_t axis_of(const uint8_t *pair, bool low_byte_first) {
  const uint16_t high = pair[low_byte_first ? 1 : 0];
  const uint16_t low = pair[low_byte_first ? 0 : 1];
  return (int16_t)(uint16_t)(high << 8 | low);
}

enum reading accelerometer_read(const struct accelerometer_layout *layout, const struct i2c_bus *bus,
                                struct acceleration *axes) {
  uint8_t bytes[6];
  if (!bus->read(layout->address, layout->axes_register, bytes, sizeof bytes)) return READING_FAILED;
  axes->x = axis_of(bytes, layout->low_byte_first);
  axes->y = axis_of(bytes + 2, layout->low_byte_first);
  axes->z = axis_of(bytes + 4, layout->low_byte_first);
  return READING_GOOD;
}
