#ifndef OVERBEND_CRC16_H
#define OVERBEND_CRC16_H

#include <stdint.h>

/**
 * CRC-16/IBM-3740 (alias CCITT-FALSE: polynomial 1021, start FFFF, not reflected, no final XOR) of
 * `length` characters. 123456789 gives 29B1, the check value of the CRC catalogue.
 */
uint16_t crc16_ccitt(const char *text, uint8_t length);

#endif
