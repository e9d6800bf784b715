#include "analog.h"

#include <avr/io.h>

#include "board.h"

#ifdef SECOND_CHANNEL
enum { HAS_SECOND = 1 };
#else
enum { HAS_SECOND = 0 };
#endif

/** The supply is the reference and the bandgap is measured: so the supply follows from it. */
static const uint8_t MUX_BANDGAP = _BV(REFS0) | 0x0E;
static const uint8_t MUX_SECOND = _BV(REFS0) | SECOND_CHANNEL_INPUT;
enum { STEPS = 1024 };
/** The bandgap is a weak source: of sixteen conversions, 1.7 ms, the last one counts. */
enum { BANDGAP_LOOKS = 16 };
/** Looks at the second channel between two at the supply: about half a second. */
enum { SECOND_LOOKS = 2048 };

static uint16_t bandgap_mv;
static uint16_t supply_mv;
static uint16_t second_steps;
static bool has_second;
static bool is_at_bandgap;
static uint16_t looks;

static void look_at(bool bandgap) {
  is_at_bandgap = bandgap;
  looks = 0;
  ADMUX = bandgap ? MUX_BANDGAP : MUX_SECOND;
}

static void convert(void) { ADCSRA |= _BV(ADSC); }

void analog_start(uint16_t bandgap) {
  bandgap_mv = bandgap;
  // 16 MHz / 128: the converter wants 50 to 200 kHz for its ten bits.
  ADCSRA = _BV(ADEN) | _BV(ADPS2) | _BV(ADPS1) | _BV(ADPS0);
  look_at(true);
  convert();
}

static void take(uint16_t steps) {
  looks++;
  if (is_at_bandgap && looks == BANDGAP_LOOKS) {
    if (steps > 0) supply_mv = (uint16_t)((uint32_t)bandgap_mv * STEPS / steps);
    look_at(!HAS_SECOND);
  } else if (!is_at_bandgap) {
    // The first conversion behind a change of the input still holds some of the input before.
    has_second = has_second || looks > 1;
    if (looks > 1) second_steps = steps;
    if (looks == SECOND_LOOKS) look_at(true);
  }
}

void analog_advance(void) {
  if (ADCSRA & _BV(ADSC)) return;
  take(ADC);
  convert();
}

uint16_t analog_supply_mv(void) { return supply_mv; }

bool analog_second(int32_t *second) {
  *second = second_steps;
  return has_second;
}
