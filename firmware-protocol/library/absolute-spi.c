#include "absolute-spi.h"

static const uint16_t PARITY_BIT = 0x8000;
/** In a word that is sent: read. In a word that came: something was wrong with the word before. */
static const uint16_t READ_BIT = 0x4000;
static const uint16_t ERROR_BIT = 0x4000;
static const uint16_t DATA_MASK = 0x3FFF;

const struct absolute_spi_layout ABSOLUTE_SPI_14 = {.angle_register = 0x3FFF,
                                                    .error_register = 0x0001,
                                                    .diagnostics_register = 0x3FFD,
                                                    .weak_mask = 0x0800,
                                                    .bits = 14};

static bool has_even_parity(uint16_t word) {
  word = (uint16_t)(word ^ (word >> 8));
  word = (uint16_t)(word ^ (word >> 4));
  word = (uint16_t)(word ^ (word >> 2));
  return ((word ^ (word >> 1)) & 1) == 0;
}

static uint16_t read_command(uint16_t address) {
  const uint16_t word = (uint16_t)(READ_BIT | address);
  return has_even_parity(word) ? word : (uint16_t)(word | PARITY_BIT);
}

static bool is_good(uint16_t word) { return has_even_parity(word) && !(word & ERROR_BIT); }

enum reading absolute_spi_read(const struct absolute_spi_layout *layout, const struct spi_bus *bus,
                               uint16_t *angle) {
  // The answer to each word comes with the next one.
  bus->exchange(read_command(layout->angle_register));
  const uint16_t angle_word = bus->exchange(read_command(layout->diagnostics_register));
  const uint16_t diagnostics = bus->exchange(read_command(layout->angle_register));
  if (!(is_good(angle_word) && is_good(diagnostics))) {
    bus->exchange(read_command(layout->error_register));
    return READING_FAILED;
  }
  const uint16_t data = angle_word & DATA_MASK;
  *angle = (uint16_t)(data & ((1U << layout->bits) - 1));
  return diagnostics & layout->weak_mask ? READING_WEAK : READING_GOOD;
}
