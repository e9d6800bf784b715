#ifndef OVERBEND_FRAME_H
#define OVERBEND_FRAME_H

#include "sentence.h" // enum refusal

/** NMEA 0183: 82 characters with `$` and CR LF, so 80 without the line ending. */
enum { MAX_LINE_CHARS = 80 };

/** Where the letter of the sentence stands, and the comma before its first field. */
enum { LETTER_AT = 5, FIELDS_AT = 6 };

/** `,CCCC*hh`: what stands behind the last field. */
enum { TAIL_CHARS = 8 };

/**
 * The frame of a native line, without its ending: `$PXOB`, printable ASCII, CRC and XOR.
 *
 * @return REFUSED_NOT when the frame is whole (its letter may still be unknown), else the first reason.
 */
enum refusal refuse_frame(const char *line, uint16_t length);

/** A line that is being written: `$PXOB`, a letter, and fields with a comma before each. */
struct line_writer {
  char text[MAX_LINE_CHARS];
  uint8_t length;
  /** False as soon as something did not fit. */
  bool fits;
};

void open_frame(struct line_writer *writer, char letter);

void put_char(struct line_writer *writer, char character);

/**
 * Writes CRC and XOR.
 *
 * @return Length of the whole line without its ending; 0 when something did not fit.
 */
uint8_t close_frame(struct line_writer *writer);

#endif
