#include "motion.h"

#include <stdlib.h>

static const struct point *nth(const struct motion *motion, uint32_t n) {
  return &motion->points[(motion->first + n) % POINTS_MAX];
}

void motion_start(struct motion *motion) {
  *motion = (struct motion){.points = calloc(POINTS_MAX, sizeof(struct point)), .count = 1};
  if (motion->points == NULL) abort();
}

uint64_t motion_horizon_us(const struct motion *motion) {
  return nth(motion, motion->count - 1)->at_us;
}

bool motion_add(struct motion *motion, struct point point) {
  if (motion->count == POINTS_MAX) return false;
  // The first point of all may be at 0, where the board is already.
  if (point.at_us <= motion_horizon_us(motion) && point.at_us > 0) return false;
  motion->points[(motion->first + motion->count) % POINTS_MAX] = point;
  motion->count++;
  return true;
}

/** Steps of one count between two points are spread evenly; the last one falls on the second point. */
static int64_t steps_between(const struct point *from, const struct point *to) {
  return llabs((int64_t)to->counts - from->counts);
}

static int64_t steps_done(const struct point *from, const struct point *to, uint64_t now_us) {
  const uint64_t span_us = to->at_us - from->at_us;
  if (span_us == 0) return steps_between(from, to);
  return (int64_t)((uint64_t)steps_between(from, to) * (now_us - from->at_us) / span_us);
}

static int16_t part_way(int16_t from, int16_t to, uint64_t into_us, uint64_t span_us) {
  return (int16_t)(from + ((int64_t)to - from) * (int64_t)into_us / (int64_t)span_us);
}

struct point motion_at(struct motion *motion, uint64_t now_us) {
  while (motion->count > 1 && nth(motion, 1)->at_us <= now_us) {
    motion->first = (motion->first + 1) % POINTS_MAX;
    motion->count--;
  }
  const struct point *from = nth(motion, 0);
  struct point here = *from;
  here.at_us = now_us;
  if (motion->count == 1 || now_us <= from->at_us) return here;
  const struct point *to = nth(motion, 1);
  const int64_t steps = steps_done(from, to, now_us);
  here.counts = (int32_t)(from->counts + (to->counts > from->counts ? steps : -steps));
  for (int axis = 0; axis < 3; axis++)
    here.axes[axis] = part_way(from->axes[axis], to->axes[axis], now_us - from->at_us,
                               to->at_us - from->at_us);
  return here;
}

uint64_t motion_next_us(const struct motion *motion, uint64_t now_us) {
  for (uint32_t n = 0; n + 1 < motion->count; n++) {
    const struct point *from = nth(motion, n);
    const struct point *to = nth(motion, n + 1);
    if (to->at_us <= now_us) continue;
    const int64_t steps = steps_between(from, to);
    if (steps > 0) {
      const uint64_t into_us = now_us > from->at_us ? now_us : from->at_us;
      const uint64_t next = (uint64_t)steps_done(from, to, into_us) + 1;
      const uint64_t span_us = to->at_us - from->at_us;
      // Rounded up: at that microsecond the step is done.
      return from->at_us + (next * span_us + (uint64_t)steps - 1) / (uint64_t)steps;
    }
    if (to->is_pressed != from->is_pressed) return to->at_us;
  }
  return UINT64_MAX;
}
