#ifndef OVERBEND_QUADRATURE_H
#define OVERBEND_QUADRATURE_H

#include <stdint.h>

/** Two channels of an incremental encoder, decoded at every edge: four counts a line. */
struct quadrature {
  /** Counted since the start; wraps. Unsigned, because a signed wrap is undefined in C. */
  uint32_t counts;
  /** Times both channels changed between two looks, so that counts may be missing; stops at its top. */
  uint32_t illegal;
  /** Channel A in bit 1, channel B in bit 0, as last seen. */
  uint8_t levels;
};

/** @param levels Channel A in bit 1, channel B in bit 0, as they stand now. */
static inline void quadrature_start(struct quadrature *encoder, uint8_t levels) {
  *encoder = (struct quadrature){.levels = levels};
}

/**
 * To be called at every edge of either channel, with both levels. A leading B counts up. A channel that
 * trembles about its edge counts up and down again, so it adds nothing.
 *
 * In the header, because it is the body of an interrupt.
 */
static inline void quadrature_move(struct quadrature *encoder, uint8_t levels) {
  // Row: levels before. Column: levels now. 2 stands for a step of both channels at once.
  static const int8_t STEPS[16] = {0, -1, 1, 2, 1, 0, 2, -1, -1, 2, 0, 1, 2, 1, -1, 0};
  const int8_t step = STEPS[encoder->levels << 2 | levels];
  encoder->levels = levels;
  if (step == 1) encoder->counts++;
  else if (step == -1) encoder->counts--;
  else if (step == 2 && encoder->illegal < UINT32_MAX) encoder->illegal++;
}

#endif
