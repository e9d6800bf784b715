#ifndef OVERBEND_SPI_H
#define OVERBEND_SPI_H

#include "../library/bus.h"

/** Mode 1, 1 MHz, high bit first. */
void spi_start(void);

extern const struct spi_bus SPI_BUS;

#endif
