#ifndef OVERBEND_PEDAL_H
#define OVERBEND_PEDAL_H

#include "../library/sentence.h" // struct event

void pedal_start(void);

/** @return true when the pedal was pressed or let go; tick and counts are those of its edge. */
bool pedal_take(struct event *event);

#endif
