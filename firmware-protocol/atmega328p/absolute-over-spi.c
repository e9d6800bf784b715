#include "absolute.h"

#include "../library/absolute-spi.h"
#include "sensor.h"
#include "spi.h"

#define LAYOUT ABSOLUTE_SPI_14

/** Three words of 16 bits at 1 MHz take 60 µs. */
const uint16_t ABSOLUTE_EVERY_US = 2000;
const uint32_t SENSOR_COUNTS_PER_TURN = 16384;

void absolute_start(void) { spi_start(); }

enum reading absolute_read(uint16_t *angle) { return absolute_spi_read(&LAYOUT, &SPI_BUS, angle); }
