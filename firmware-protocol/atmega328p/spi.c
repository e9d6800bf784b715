#include "spi.h"

#include <avr/io.h>
#include <util/delay.h>

#include "board.h"

/** The sensor asks for 350 ns between select and clock, and between words: a microsecond is plenty. */
static const double GAP_US = 1;

void spi_start(void) {
  SPI_PORT |= _BV(SPI_SELECT);
  SPI_DIRECTION |= _BV(SPI_SELECT) | _BV(SPI_OUT) | _BV(SPI_CLOCK);
  SPCR = _BV(SPE) | _BV(MSTR) | _BV(CPHA) | _BV(SPR0);
}

/** Ends by itself: the clock of a master does not wait for anybody. */
static uint8_t exchange_byte(uint8_t byte) {
  SPDR = byte;
  while (!(SPSR & _BV(SPIF))) {
  }
  return SPDR;
}

static uint16_t exchange(uint16_t word) {
  SPI_PORT &= (uint8_t)~_BV(SPI_SELECT);
  _delay_us(GAP_US);
  const uint8_t high = exchange_byte((uint8_t)(word >> 8));
  const uint8_t low = exchange_byte((uint8_t)word);
  SPI_PORT |= _BV(SPI_SELECT);
  _delay_us(GAP_US);
  return (uint16_t)((uint16_t)(high << 8) | low);
}

const struct spi_bus SPI_BUS = {.exchange = exchange};
