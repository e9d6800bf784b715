#ifndef OVERBEND_DEBOUNCE_H
#define OVERBEND_DEBOUNCE_H

#include <stdbool.h>
#include <stdint.h>

/**
 * A contact that bounces. The first edge latches tick and counts; only when the contact has been quiet for a
 * while is it known what it has become, and the edge is told as it was latched.
 */
struct debounce {
  bool is_pressed;
  bool is_bouncing;
  uint32_t first_edge_us;
  uint32_t last_edge_us;
  int32_t counts;
};

/** Switches bounce for less than 10 ms as a rule (common practice, no source); a foot presses for 50 ms. */
enum { DEBOUNCE_QUIET_US = 15000 };

void debounce_start(struct debounce *contact, bool is_pressed);

/** At every edge of the contact; may be called from an interrupt. */
void debounce_edge(struct debounce *contact, uint32_t now_us, int32_t counts);

/**
 * To be called often with the contact's level, no edge coming in between.
 *
 * @return true when `is_pressed` has changed; `first_edge_us` and `counts` are those of the edge.
 */
bool debounce_settle(struct debounce *contact, uint32_t now_us, bool is_closed);

#endif
