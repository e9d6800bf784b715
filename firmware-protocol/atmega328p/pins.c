#include "pins.h"

#include "board.h"

static const uint8_t ALL = _BV(BUZZER) | _BV(LAMP) | _BV(RELAY);

void pins_start(void) {
  OUTPUT_PORT &= (uint8_t)~ALL;
  OUTPUT_DIRECTION |= ALL;
}

void pins_show(const struct outputs *outputs) {
  uint8_t on = 0;
  if (outputs->each[OUTPUT_BUZZER].is_on) on |= _BV(BUZZER);
  if (outputs->each[OUTPUT_LAMP].is_on) on |= _BV(LAMP);
  if (outputs->each[OUTPUT_RELAY].is_on) on |= _BV(RELAY);
  OUTPUT_PORT = (uint8_t)((OUTPUT_PORT & ~ALL) | on);
}
