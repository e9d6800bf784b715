#ifndef OVERBEND_SENSORS_H
#define OVERBEND_SENSORS_H

#include <sim_avr.h>

#include "motion.h"

enum sensor_state { SENSOR_GOOD, SENSOR_WEAK, SENSOR_ERROR, SENSOR_ABSENT };

/** The absolute encoder on SPI and the sensors on I²C, all of them at once; the firmware reads its own. */
struct sensors {
  avr_t *avr;
  avr_irq_t *spi_in;
  avr_irq_t *twi_in;
  enum sensor_state state;
  struct point now;
  /** SPI: the word that goes in, the one that goes out, and which byte it is. */
  uint16_t word_in;
  uint16_t word_out;
  uint8_t bytes;
  bool is_selected;
  /** I²C: who is spoken to, 0 for nobody, and which register is next. */
  uint8_t address;
  uint8_t at;
  bool has_register;
  uint8_t registers[256];
};

void sensors_start(struct sensors *sensors, avr_t *avr);

/** Where the sensors stand now. */
void sensors_move(struct sensors *sensors, struct point now);

#endif
