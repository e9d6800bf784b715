#include "outputs.h"

static const uint32_t US_PER_MS = 1000;

void outputs_advance(struct outputs *outputs, uint32_t now_us) {
  for (uint8_t at = 0; at < OUTPUTS_COUNT; at++)
    // A difference of ticks is right across the wrap of the tick.
    if (now_us - outputs->each[at].renewed_us >= outputs->each[at].time_to_live_us)
      outputs->each[at].is_on = false;
}

void outputs_switch_on(struct outputs *outputs, enum output output, uint16_t time_to_live_ms,
                       uint32_t now_us) {
  outputs->each[output].is_on = true;
  outputs->each[output].renewed_us = now_us;
  outputs->each[output].time_to_live_us = time_to_live_ms * US_PER_MS;
}

void outputs_switch_off(struct outputs *outputs, enum output output) {
  outputs->each[output].is_on = false;
}

void outputs_renew(struct outputs *outputs, uint32_t now_us) {
  outputs_advance(outputs, now_us);
  for (uint8_t at = 0; at < OUTPUTS_COUNT; at++)
    if (outputs->each[at].is_on) outputs->each[at].renewed_us = now_us;
}
