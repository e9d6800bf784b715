#include "pace.h"

void pace_start(struct pace *pace, uint32_t period_us, uint32_t now_us) {
  pace->period_us = period_us;
  pace->next_us = now_us + period_us;
}

void pace_change(struct pace *pace, uint32_t period_us, uint32_t now_us) {
  pace->period_us = period_us;
  if (pace->next_us - now_us > period_us) pace->next_us = now_us + period_us;
}

bool pace_is_due(struct pace *pace, uint32_t now_us) {
  const uint32_t late_us = now_us - pace->next_us;
  if (late_us > UINT32_MAX / 2) return false;
  pace->next_us = (late_us < pace->period_us ? pace->next_us : now_us) + pace->period_us;
  return true;
}
