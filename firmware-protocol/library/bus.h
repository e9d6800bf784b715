#ifndef OVERBEND_BUS_H
#define OVERBEND_BUS_H

#include <stdbool.h>
#include <stdint.h>

/** What a board gives its sensors to be read over. Each call ends within a bounded time, come what may. */
struct i2c_bus {
  /** Reads `length` bytes from register `from` on. @return false when the sensor does not answer. */
  bool (*read)(uint8_t address, uint8_t from, uint8_t *bytes, uint8_t length);
  bool (*write)(uint8_t address, uint8_t at, uint8_t byte);
};

struct spi_bus {
  /** One 16-bit word out and one in, high bit first, the sensor selected around it. */
  uint16_t (*exchange)(uint16_t word);
};

/** What came of reading a sensor. */
enum reading { READING_GOOD, READING_WEAK, READING_FAILED };

#endif
