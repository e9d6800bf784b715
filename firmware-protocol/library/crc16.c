#include "crc16.h"

static const uint16_t START = 0xFFFF;

/** One byte without a table: 512 bytes of table are a quarter of a small controller's memory. */
static uint16_t crc16_step(uint16_t crc, uint8_t byte) {
  uint8_t mixed = (uint8_t)((crc >> 8) ^ byte);
  mixed = (uint8_t)(mixed ^ (mixed >> 4));
  const uint16_t wide = mixed;
  return (uint16_t)((uint16_t)(crc << 8) ^ (uint16_t)(wide << 12) ^ (uint16_t)(wide << 5) ^ wide);
}

uint16_t crc16_ccitt(const char *text, uint8_t length) {
  uint16_t crc = START;
  for (uint8_t at = 0; at < length; at++) crc = crc16_step(crc, (uint8_t)text[at]);
  return crc;
}
