#include "pedal.h"

#include <avr/interrupt.h>
#include <util/atomic.h>

#include "../library/debounce.h"
#include "board.h"
#include "clock.h"
#include "sensor.h"

/** Input 1 is the pedal: SPECIFICATION.md. */
enum { PEDAL_INPUT = 1 };

static struct debounce contact;

static bool is_closed(void) { return !(PEDAL_PINS & _BV(PEDAL)); }

ISR(PCINT2_vect) {
  debounce_edge(&contact, clock_us_in_interrupt(), sensor_counts_in_interrupt());
}

void pedal_start(void) {
  PEDAL_PORT |= _BV(PEDAL);
  // A foot that is on the pedal while the board starts has not pressed it.
  debounce_start(&contact, is_closed());
  PEDAL_CHANGE_MASK = _BV(PEDAL_CHANGE_PIN);
  PCIFR = _BV(PCIF2);
  PCICR = _BV(PEDAL_CHANGE_GROUP);
}

bool pedal_take(struct event *event) {
  bool has_changed = false;
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
    has_changed = debounce_settle(&contact, clock_us_in_interrupt(), is_closed());
  }
  if (!has_changed) return false;
  *event = (struct event){.tick_us = contact.first_edge_us,
                          .input = PEDAL_INPUT,
                          .edge = contact.is_pressed ? EDGE_DOWN : EDGE_UP,
                          .counts = contact.counts};
  return true;
}
