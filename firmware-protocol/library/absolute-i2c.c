#include "absolute-i2c.h"

const struct absolute_i2c_layout ABSOLUTE_I2C_14 = {.address = 0x40,
                                                    .angle_register = 0xFE,
                                                    .low_bits = 6,
                                                    .bits = 14,
                                                    .status_register = 0xFB,
                                                    .present_mask = 0x02,
                                                    .present = 0x00,
                                                    .weak_mask = 0x08};

const struct absolute_i2c_layout ABSOLUTE_I2C_12 = {.address = 0x36,
                                                    .angle_register = 0x0E,
                                                    .low_bits = 8,
                                                    .bits = 12,
                                                    .status_register = 0x0B,
                                                    .present_mask = 0x20,
                                                    .present = 0x20,
                                                    .weak_mask = 0x10};

enum reading absolute_i2c_read(const struct absolute_i2c_layout *layout, const struct i2c_bus *bus,
                               uint16_t *angle) {
  uint8_t bytes[2];
  uint8_t status;
  if (!bus->read(layout->address, layout->angle_register, bytes, sizeof bytes)) return READING_FAILED;
  if (!bus->read(layout->address, layout->status_register, &status, 1)) return READING_FAILED;
  if ((status & layout->present_mask) != layout->present) return READING_FAILED;
  const uint16_t low = (uint16_t)(bytes[1] & ((1U << layout->low_bits) - 1));
  const uint16_t whole = (uint16_t)((uint16_t)(bytes[0] << layout->low_bits) | low);
  *angle = (uint16_t)(whole & ((1U << layout->bits) - 1));
  return status & layout->weak_mask ? READING_WEAK : READING_GOOD;
}
