#ifndef OVERBEND_IDENTITY_H
#define OVERBEND_IDENTITY_H

#include "../library/sentence.h" // TEXT_CHARS_MAX

/** What a board knows of itself, kept in its EEPROM. */
struct identity {
  /** Serial number: 1 to 16 letters, digits, spaces, `.`, `-`, `_`. */
  char board[TEXT_CHARS_MAX + 1];
  /** The chip's own voltage reference, as measured; 1100 otherwise. */
  uint16_t bandgap_mv;
};

/**
 * Reads it. A board without one draws a number, once, and keeps it; that may take 0.1 s.
 * Interrupts must be off, or must not use the analog-to-digital converter.
 */
struct identity identity_read(void);

#endif
