#include <avr/interrupt.h>
#include <util/atomic.h>

#include "../library/quadrature.h"
#include "board.h"
#include "clock.h"
#include "sensor.h"

#ifndef COUNTS_PER_TURN
#error An incremental encoder needs its counts a turn: make COUNTS_PER_TURN=4096.
#endif

/** After counts that may be missing the fault is shown for so long, so that it is seen. */
static const uint32_t FAULT_SHOWN_US = 1000000;

const enum sensor_kind SENSOR_KIND = SENSOR_INCREMENTAL;
const uint32_t SENSOR_COUNTS_PER_TURN = COUNTS_PER_TURN;
const uint8_t SENSOR_LINE_CHARS = 49;

static struct quadrature encoder;
static uint32_t illegal_seen;
static uint32_t illegal_us;

/** Both channels are neighbours, A below B; the decoder wants A on top. */
static inline uint8_t levels(void) {
  const uint8_t pins = ENCODER_PINS;
  return (uint8_t)((pins & _BV(ENCODER_A) ? 2 : 0) | (pins & _BV(ENCODER_B) ? 1 : 0));
}

/* The first two vectors: no other interrupt that is due at the same time goes before them. */
ISR(INT0_vect) { quadrature_move(&encoder, levels()); }
/* One body for both: of two that are alike the compiler lets one call the other, and that one's return
   lets further interrupts in. */
ISR(INT1_vect, ISR_ALIASOF(INT0_vect));

void sensor_start(void) {
  ENCODER_PORT |= _BV(ENCODER_A) | _BV(ENCODER_B);
  quadrature_start(&encoder, levels());
  EICRA = _BV(ISC00) | _BV(ISC10);
  EIFR = _BV(INTF0) | _BV(INTF1);
  EIMSK = _BV(INT0) | _BV(INT1);
}

void sensor_advance(uint32_t now_us) {
  const uint32_t illegal = sensor_errors();
  if (illegal == illegal_seen) {
    // Kept close behind the clock, or it would seem young again when the tick wraps.
    if (now_us - illegal_us > 2 * FAULT_SHOWN_US) illegal_us = now_us - 2 * FAULT_SHOWN_US;
    return;
  }
  illegal_seen = illegal;
  illegal_us = now_us;
}

struct sensor_reading sensor_read(void) {
  struct sensor_reading reading = {0};
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
    reading.counts = (int32_t)encoder.counts;
    reading.tick_us = clock_us_in_interrupt();
  }
  const bool is_faulty = illegal_seen > 0 && reading.tick_us - illegal_us < FAULT_SHOWN_US;
  reading.flags = is_faulty ? FLAG_SENSOR_FAULT : 0;
  return reading;
}

int32_t sensor_counts_in_interrupt(void) { return (int32_t)encoder.counts; }

uint32_t sensor_errors(void) {
  uint32_t illegal = 0;
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) { illegal = encoder.illegal; }
  return illegal;
}
