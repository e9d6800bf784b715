#include "clock.h"

#include <avr/interrupt.h>
#include <avr/io.h>
#include <util/atomic.h>

#include "board.h"

#if F_CPU != 16000000UL
#error The tick is made for a 16 MHz clock: timer 1 steps every half microsecond at F_CPU / 8.
#endif

/** Timer 1 overflows every 65536 half microseconds. */
static const uint16_t OVERFLOW_US = 32768;
static volatile uint32_t overflows_us;

ISR(TIMER1_OVF_vect) { overflows_us += OVERFLOW_US; }

EMPTY_INTERRUPT(TIMER0_OVF_vect)

void clock_start(void) {
  TCCR1A = 0;
  TCCR1B = _BV(CS11);
  TIMSK1 = _BV(TOIE1);
  // Timer 0: 16 MHz / 64 / 256, only to wake.
  TCCR0B = _BV(CS01) | _BV(CS00);
  TIMSK0 = _BV(TOIE0);
}

uint32_t clock_us_in_interrupt(void) {
  const uint16_t half_us = TCNT1;
  uint32_t us = overflows_us;
  // An overflow whose interrupt has not come yet: the timer is then only just past 0.
  if ((TIFR1 & _BV(TOV1)) && half_us < 0x8000) us += OVERFLOW_US;
  return us + (half_us >> 1);
}

uint32_t clock_us(void) {
  uint32_t us = 0;
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) { us = clock_us_in_interrupt(); }
  return us;
}
