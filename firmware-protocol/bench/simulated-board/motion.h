#ifndef OVERBEND_MOTION_H
#define OVERBEND_MOTION_H

#include <stdbool.h>
#include <stdint.h>

/** Where sensor and pedal stand at a time; in between, counts and axes move evenly. */
struct point {
  uint64_t at_us;
  int32_t counts;
  bool is_pressed;
  int16_t axes[3];
};

/** Points that are known ahead, oldest first. */
struct motion {
  struct point *points;
  uint32_t first;
  uint32_t count;
};

enum { POINTS_MAX = 65536 };

void motion_start(struct motion *motion);

/** @return false when the point is not behind the last one, or nothing more can be kept. */
bool motion_add(struct motion *motion, struct point point);

/** Up to where the motion is known; 0 at the beginning. */
uint64_t motion_horizon_us(const struct motion *motion);

/** Where everything stands at a time that does not run back. */
struct point motion_at(struct motion *motion, uint64_t now_us);

/** When something changes next behind `now_us`: a count or the pedal. UINT64_MAX when nothing is known to. */
uint64_t motion_next_us(const struct motion *motion, uint64_t now_us);

#endif
