#ifndef OVERBEND_PINS_H
#define OVERBEND_PINS_H

#include "../library/outputs.h"

/** All outputs off. First of all at every start. */
void pins_start(void);

/** Puts the outputs on their pins. */
void pins_show(const struct outputs *outputs);

#endif
