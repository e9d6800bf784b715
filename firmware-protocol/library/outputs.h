#ifndef OVERBEND_OUTPUTS_H
#define OVERBEND_OUTPUTS_H

#include "sentence.h" // enum output

enum { OUTPUTS_COUNT = 3 };

/** Outputs that switch themselves off. All are off at the start. */
struct outputs {
  struct {
    bool is_on;
    uint32_t renewed_us;
    uint32_t time_to_live_us;
  } each[OUTPUTS_COUNT];
};

/** Switches off what has outlived its time. To be called at least once a millisecond or so. */
void outputs_advance(struct outputs *outputs, uint32_t now_us);

/** On for `time_to_live_ms`, 1 to 2000; one that is on begins anew with the new value. */
void outputs_switch_on(struct outputs *outputs, enum output output, uint16_t time_to_live_ms,
                       uint32_t now_us);

void outputs_switch_off(struct outputs *outputs, enum output output);

/** A heartbeat: what is on has its whole time to live again; what is off stays off. */
void outputs_renew(struct outputs *outputs, uint32_t now_us);

#endif
