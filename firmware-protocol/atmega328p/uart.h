#ifndef OVERBEND_UART_H
#define OVERBEND_UART_H

#include <stdbool.h>
#include <stdint.h>

#include "../library/device.h" // struct wire

/** 115,200 baud, 8N1, both ways by interrupt. */
void uart_start(void);

/** The way out, as the device wants it. */
extern const struct wire UART_WIRE;

/**
 * The next whole line of the host, without its ending.
 *
 * @param line Stays as it is until the next call.
 * @param received_us When its line feed was in; for a line that ends with CR alone, its CR.
 * @return Its length; 0 when there is none yet.
 */
uint8_t uart_take_line(const char **line, uint32_t *received_us);

#endif
