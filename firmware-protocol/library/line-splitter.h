#ifndef OVERBEND_LINE_SPLITTER_H
#define OVERBEND_LINE_SPLITTER_H

#include <stdbool.h>
#include <stdint.h>

/** Cuts a stream of bytes into lines. Its memory is what the caller gave it. */
struct line_splitter {
  char *held;
  /** Longest line that is kept, without its ending: at least 80 for the native protocol. */
  uint16_t size;
  uint16_t used;
  bool skipping;
  /** Lines thrown away because they had no end within the bound; stops at its top. */
  uint32_t overlong;
};

void line_splitter_start(struct line_splitter *splitter, char *held, uint16_t size);

/**
 * One byte of the stream. A line ends with CR LF, LF or CR; empty lines are not told of. A line longer than the
 * bound is counted once, when it passes the bound, and thrown away up to its end.
 *
 * @return Length of the line that this byte has ended, which stands in `held` until the next call; else 0.
 */
uint16_t line_splitter_push(struct line_splitter *splitter, uint8_t byte);

#endif
