#include "frame.h"

#include <string.h> // memcmp

#include "crc16.h"

/**
 * `P` for proprietary and XOB for this project. XOB is not registered as a maker code; the leading X is
 * there to say so.
 */
static const char ADDRESS_PREFIX[] = "$PXOB";

/** @return The value of the hex digits, of either case; −1, which equals no sum, if one is none. */
static int32_t read_hex(const char *text, uint8_t digits) {
  int32_t value = 0;
  for (uint8_t at = 0; at < digits; at++) {
    const char digit = text[at];
    const char letter = (char)(digit & ~0x20);
    if (digit >= '0' && digit <= '9') value = value * 16 + (digit - '0');
    else if (letter >= 'A' && letter <= 'F') value = value * 16 + (letter - 'A' + 10);
    else return -1;
  }
  return value;
}

/** The frame that all NMEA 0183 sentences share: `$`, printable ASCII, `*` and the XOR of what is between. */
static enum refusal refuse_nmea(const char *line, uint16_t length) {
  if (length == 0) return REFUSED_EMPTY;
  if (length > MAX_LINE_CHARS) return REFUSED_OVERLONG;
  uint8_t xor_sum = 0;
  for (uint8_t at = 0; at < length; at++) {
    if (!(line[at] >= ' ' && line[at] <= '~')) return REFUSED_NOT_PRINTABLE;
    if (at > 0 && length - at > 3) xor_sum = (uint8_t)(xor_sum ^ (uint8_t)line[at]);
  }
  if (line[0] != '$') return REFUSED_NO_START;
  if (length < 3 || line[length - 3] != '*') return REFUSED_NO_CHECKSUM;
  return read_hex(line + length - 2, 2) == xor_sum ? REFUSED_NOT : REFUSED_BAD_CHECKSUM;
}

enum refusal refuse_frame(const char *line, uint16_t length) {
  const enum refusal refusal = refuse_nmea(line, length);
  if (refusal != REFUSED_NOT) return refusal;
  if (length < LETTER_AT || memcmp(line, ADDRESS_PREFIX, LETTER_AT) != 0)
    return REFUSED_UNKNOWN_SENTENCE;
  if (length < FIELDS_AT + TAIL_CHARS) return REFUSED_BAD_CRC;
  const uint8_t end = (uint8_t)(length - TAIL_CHARS);
  if (line[end] != ',') return REFUSED_BAD_CRC;
  const int32_t crc = read_hex(line + end + 1, 4);
  return crc16_ccitt(line + 1, (uint8_t)(end - 1)) == crc ? REFUSED_NOT : REFUSED_BAD_CRC;
}

void open_frame(struct line_writer *writer, char letter) {
  memcpy(writer->text, ADDRESS_PREFIX, LETTER_AT);
  writer->text[LETTER_AT] = letter;
  writer->length = FIELDS_AT;
  writer->fits = true;
}

void put_char(struct line_writer *writer, char character) {
  if (writer->length < MAX_LINE_CHARS) writer->text[writer->length++] = character;
  else writer->fits = false;
}

static void put_hex(struct line_writer *writer, uint16_t value, uint8_t digits) {
  while (digits-- > 0) {
    const uint8_t nibble = (uint8_t)((value >> (4 * digits)) & 0x0F);
    put_char(writer, (char)(nibble < 10 ? '0' + nibble : 'A' + nibble - 10));
  }
}

uint8_t close_frame(struct line_writer *writer) {
  const uint16_t crc = crc16_ccitt(writer->text + 1, (uint8_t)(writer->length - 1));
  put_char(writer, ',');
  put_hex(writer, crc, 4);
  uint8_t xor_sum = 0;
  for (uint8_t at = 1; at < writer->length; at++)
    xor_sum = (uint8_t)(xor_sum ^ (uint8_t)writer->text[at]);
  put_char(writer, '*');
  put_hex(writer, xor_sum, 2);
  return writer->fits ? writer->length : 0;
}
