#include "field.h"

#include <string.h> // memcpy

/** 2^32 − 1 has ten digits; none of our numbers has more. */
enum { MAX_DIGITS = 10 };

static bool read_digits(const char *text, uint8_t digits, uint32_t *value) {
  if (!(digits >= 1 && digits <= MAX_DIGITS)) return false;
  if (text[0] == '0' && digits > 1) return false;
  uint32_t size = 0;
  for (uint8_t at = 0; at < digits; at++) {
    if (!(text[at] >= '0' && text[at] <= '9')) return false;
    const uint8_t digit = (uint8_t)(text[at] - '0');
    if (size > (UINT32_MAX - digit) / 10) return false;
    size = size * 10 + digit;
  }
  *value = size;
  return true;
}

bool read_unsigned(struct field field, uint32_t min, uint32_t max, uint32_t *value) {
  uint32_t size;
  if (!(read_digits(field.text, field.length, &size) && size >= min && size <= max)) return false;
  *value = size;
  return true;
}

bool read_signed(struct field field, int32_t min, int32_t max, int32_t *value) {
  const bool negative = field.length > 0 && field.text[0] == '-';
  uint32_t size;
  if (!read_digits(field.text + negative, (uint8_t)(field.length - negative), &size)) return false;
  if (negative ? size == 0 || size > (uint32_t)INT32_MAX + 1 : size > (uint32_t)INT32_MAX)
    return false;
  // −size without a signed overflow: the lowest value has no positive twin.
  const int32_t read = negative ? (int32_t)(-(int32_t)(size - 1) - 1) : (int32_t)size;
  if (!(read >= min && read <= max)) return false;
  *value = read;
  return true;
}

static bool is_text_char(char c) {
  return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == ' ' ||
         c == '.' || c == '-' || c == '_';
}

bool read_text(struct field field, uint8_t min, uint8_t max, char *text) {
  if (!(field.length >= min && field.length <= max)) return false;
  for (uint8_t at = 0; at < field.length; at++)
    if (!is_text_char(field.text[at])) return false;
  memcpy(text, field.text, field.length);
  text[field.length] = '\0';
  return true;
}

/** Characters up to the next space or the end. */
static uint8_t word_chars(const char *words) {
  uint8_t chars = 0;
  while (words[chars] != ' ' && words[chars] != '\0') chars++;
  return chars;
}

int8_t read_choice(struct field field, const char *words) {
  for (int8_t number = 0;; number++) {
    const uint8_t chars = word_chars(words);
    if (chars == field.length && memcmp(words, field.text, chars) == 0) return number;
    if (words[chars] == '\0') return -1;
    words += chars + 1;
  }
}

/** Digits by subtraction: a 32-bit division takes a small controller 40 µs, ten of them half a line's time. */
static void put_digits(struct line_writer *writer, uint32_t value) {
  static const uint32_t POWERS[] = {1000000000, 100000000, 10000000, 1000000, 100000,
                                    10000,      1000,      100,      10};
  bool started = false;
  for (uint8_t at = 0; at < sizeof POWERS / sizeof POWERS[0]; at++) {
    char digit = '0';
    for (; value >= POWERS[at]; value -= POWERS[at]) digit++;
    started = started || digit != '0';
    if (started) put_char(writer, digit);
  }
  put_char(writer, (char)('0' + (uint8_t)value));
}

void put_unsigned(struct line_writer *writer, uint32_t value) {
  put_nothing(writer);
  put_digits(writer, value);
}

void put_signed(struct line_writer *writer, int32_t value) {
  put_nothing(writer);
  if (value < 0) put_char(writer, '-');
  put_digits(writer, value < 0 ? (uint32_t)0 - (uint32_t)value : (uint32_t)value);
}

void put_text(struct line_writer *writer, const char *text, uint8_t min, uint8_t max) {
  put_nothing(writer);
  uint8_t chars = 0;
  for (; chars <= max && text[chars] != '\0'; chars++) {
    if (!is_text_char(text[chars])) writer->fits = false;
    put_char(writer, text[chars]);
  }
  if (!(chars >= min && chars <= max)) writer->fits = false;
}

void put_choice(struct line_writer *writer, const char *words, uint8_t number) {
  put_nothing(writer);
  for (; number > 0; number--) {
    words += word_chars(words);
    if (*words == '\0') {
      writer->fits = false;
      return;
    }
    words++;
  }
  for (; *words != ' ' && *words != '\0'; words++) put_char(writer, *words);
}

void put_nothing(struct line_writer *writer) { put_char(writer, ','); }
