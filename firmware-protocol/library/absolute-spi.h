#ifndef OVERBEND_ABSOLUTE_SPI_H
#define OVERBEND_ABSOLUTE_SPI_H

#include "bus.h"

/**
 * A magnetic encoder on SPI that is read in words of 16 bits. What the host sends: even parity in bit 15, read
 * in bit 14, a register's address in bits 13 to 0. What the sensor sends, one word later: even parity in
 * bit 15, an error flag in bit 14, the register in bits 13 to 0. SPI mode 1, at most 10 MHz.
 */
struct absolute_spi_layout {
  uint16_t angle_register;
  uint16_t error_register;
  uint16_t diagnostics_register;
  /** Bits of the diagnostics register that say: the magnet is too weak. */
  uint16_t weak_mask;
  /** Bits of the angle, at most 14. */
  uint8_t bits;
};

/** 14 bits: a turn has 16384 counts. */
extern const struct absolute_spi_layout ABSOLUTE_SPI_14;

/**
 * @param angle 0 to 2^bits − 1; untouched when the reading failed.
 * @return READING_FAILED for a wrong parity or the error flag, which is then cleared in the sensor.
 */
enum reading absolute_spi_read(const struct absolute_spi_layout *layout, const struct spi_bus *bus,
                               uint16_t *angle);

#endif
