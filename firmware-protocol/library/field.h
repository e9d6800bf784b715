#ifndef OVERBEND_FIELD_H
#define OVERBEND_FIELD_H

#include "frame.h" // struct line_writer

/** The characters of one field, without its comma. */
struct field {
  const char *text;
  uint8_t length;
};

/**
 * A decimal integer in the one way it may be written: no plus, no leading zero, no minus zero. One value, one
 * text: that is what makes decode and encode each other's inverse.
 *
 * @return false for anything else, and outside `min` to `max`; `value` is then untouched.
 */
bool read_unsigned(struct field field, uint32_t min, uint32_t max, uint32_t *value);
bool read_signed(struct field field, int32_t min, int32_t max, int32_t *value);

/** Letters, digits, space, `.`, `-`, `_`. `text` gets a NUL behind it and must hold `max` + 1. */
bool read_text(struct field field, uint8_t min, uint8_t max, char *text);

/**
 * One word of `count` words, a space behind each but the last: "BUZZER LAMP RELAY".
 *
 * @return Its number, from 0; −1 for any other.
 */
int8_t read_choice(struct field field, const char *words);

/** Each writes a comma and a field. A text of another grammar, or one too long, does not fit. */
void put_unsigned(struct line_writer *writer, uint32_t value);
void put_signed(struct line_writer *writer, int32_t value);
void put_text(struct line_writer *writer, const char *text, uint8_t min, uint8_t max);
void put_choice(struct line_writer *writer, const char *words, uint8_t number);
void put_nothing(struct line_writer *writer);

#endif
