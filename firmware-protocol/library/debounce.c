#include "debounce.h"

void debounce_start(struct debounce *contact, bool is_pressed) {
  *contact = (struct debounce){.is_pressed = is_pressed};
}

void debounce_edge(struct debounce *contact, uint32_t now_us, int32_t counts) {
  contact->last_edge_us = now_us;
  if (contact->is_bouncing) return;
  contact->is_bouncing = true;
  contact->first_edge_us = now_us;
  contact->counts = counts;
}

bool debounce_settle(struct debounce *contact, uint32_t now_us, bool is_closed) {
  if (!contact->is_bouncing || now_us - contact->last_edge_us < DEBOUNCE_QUIET_US) return false;
  contact->is_bouncing = false;
  if (is_closed == contact->is_pressed) return false;
  contact->is_pressed = is_closed;
  return true;
}
