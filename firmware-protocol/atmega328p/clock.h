#ifndef OVERBEND_CLOCK_H
#define OVERBEND_CLOCK_H

#include <stdint.h>

/** Begins the tick at 0, and wakes the processor every millisecond. */
void clock_start(void);

/** Microseconds since the start; begins again at 0 after 71.58 minutes. */
uint32_t clock_us(void);

/** The same, with interrupts switched off already. */
uint32_t clock_us_in_interrupt(void);

#endif
