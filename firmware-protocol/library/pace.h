#ifndef OVERBEND_PACE_H
#define OVERBEND_PACE_H

#include <stdbool.h>
#include <stdint.h>

/** Something that is due again and again. */
struct pace {
  uint32_t period_us;
  uint32_t next_us;
};

void pace_start(struct pace *pace, uint32_t period_us, uint32_t now_us);

/** The next time is at most one old and at most one new period away. */
void pace_change(struct pace *pace, uint32_t period_us, uint32_t now_us);

/**
 * @return true once a period. After a longer pause it goes on from now: what was not done is not made up for.
 */
bool pace_is_due(struct pace *pace, uint32_t now_us);

#endif
