#include "sensors.h"

#include <avr_ioport.h>
#include <avr_spi.h>
#include <avr_twi.h>

#include "../../library/absolute-i2c.h"
#include "../../library/absolute-spi.h"
#include "../../library/accelerometer.h"

/* Written from the sensors' side, so that both sides must be right for a reading to come out right. */

enum { TURN = 16384, TURN_12 = 4096 };

static uint16_t place_in_turn(const struct sensors *sensors, int turn) {
  return (uint16_t)(((sensors->now.counts % turn) + turn) % turn);
}

static uint16_t with_even_parity(uint16_t word) {
  return __builtin_parity(word & 0x7FFF) ? word | 0x8000 : word & 0x7FFF;
}

static uint16_t spi_register(const struct sensors *sensors, uint16_t address) {
  uint16_t value = 0;
  if (address == 0x3FFF) value = place_in_turn(sensors, TURN);
  if (address == 0x3FFD && sensors->state == SENSOR_WEAK) value = 0x0800;
  if (sensors->state == SENSOR_ERROR) value |= 0x4000;
  return with_even_parity(value);
}

static void on_select(struct avr_irq_t *irq, uint32_t value, void *param) {
  (void)irq;
  struct sensors *sensors = param;
  sensors->is_selected = value == 0;
  sensors->bytes = 0;
}

/** A sensor that is not there leaves the line high. */
static void on_spi_byte(struct avr_irq_t *irq, uint32_t value, void *param) {
  (void)irq;
  struct sensors *sensors = param;
  if (!sensors->is_selected || sensors->state == SENSOR_ABSENT) {
    avr_raise_irq(sensors->spi_in, 0xFF);
    return;
  }
  sensors->word_in = (uint16_t)(sensors->word_in << 8 | value);
  avr_raise_irq(sensors->spi_in, sensors->bytes == 0 ? sensors->word_out >> 8 : sensors->word_out & 0xFF);
  if (++sensors->bytes < 2) return;
  sensors->bytes = 0;
  sensors->word_out = spi_register(sensors, sensors->word_in & 0x3FFF);
}

/** Registers of all sensors on the bus, as they stand for one address. */
static void fill_registers(struct sensors *sensors) {
  uint8_t *r = sensors->registers;
  const bool weak = sensors->state == SENSOR_WEAK;
  const bool error = sensors->state == SENSOR_ERROR;
  if (sensors->address == ABSOLUTE_I2C_14.address) {
    const uint16_t angle = place_in_turn(sensors, TURN);
    r[0xFE] = (uint8_t)(angle >> 6);
    r[0xFF] = angle & 0x3F;
    r[0xFB] = (uint8_t)((weak ? 0x08 : 0) | (error ? 0x02 : 0) | 0x01);
  }
  if (sensors->address == ABSOLUTE_I2C_12.address) {
    const uint16_t angle = place_in_turn(sensors, TURN_12);
    r[0x0E] = (uint8_t)(angle >> 8);
    r[0x0F] = angle & 0xFF;
    r[0x0B] = (uint8_t)((weak ? 0x10 : 0) | (error ? 0 : 0x20));
  }
  for (int axis = 0; axis < 3; axis++) {
    const uint16_t value = (uint16_t)sensors->now.axes[axis];
    if (sensors->address == ACCELEROMETER_HIGH_FIRST.address) {
      r[0x75] = 0x68;
      r[0x3B + 2 * axis] = (uint8_t)(value >> 8);
      r[0x3C + 2 * axis] = (uint8_t)value;
    }
    if (sensors->address == ACCELEROMETER_LOW_FIRST.address) {
      r[0x0F] = 0x33;
      // Bit 7 of the register's number only says: go on to the next.
      r[0xA8 + 2 * axis] = (uint8_t)value;
      r[0xA9 + 2 * axis] = (uint8_t)(value >> 8);
    }
  }
}

static bool is_ours(uint8_t address) {
  return address == ABSOLUTE_I2C_14.address || address == ABSOLUTE_I2C_12.address ||
         address == ACCELEROMETER_HIGH_FIRST.address || address == ACCELEROMETER_LOW_FIRST.address;
}

static void say(struct sensors *sensors, uint8_t what, uint8_t data) {
  avr_raise_irq(sensors->twi_in, avr_twi_irq_msg(what, (uint8_t)(sensors->address << 1), data));
}

static void take_byte(struct sensors *sensors, uint8_t byte) {
  if (sensors->has_register) sensors->registers[sensors->at++] = byte;
  else sensors->at = byte;
  sensors->has_register = true;
}

static void on_twi(struct avr_irq_t *irq, uint32_t value, void *param) {
  (void)irq;
  struct sensors *sensors = param;
  avr_twi_msg_irq_t message;
  message.u.v = value;
  const uint8_t what = message.u.twi.msg;
  if (what & TWI_COND_STOP) sensors->address = 0;
  if (what & TWI_COND_START) {
    const uint8_t address = message.u.twi.addr >> 1;
    sensors->address = is_ours(address) && sensors->state != SENSOR_ABSENT ? address : 0;
    sensors->has_register = message.u.twi.addr & 1;
    if (sensors->address == 0) return;
    fill_registers(sensors);
    say(sensors, TWI_COND_ACK, 1);
  }
  if (sensors->address == 0) return;
  if (what & TWI_COND_WRITE) {
    say(sensors, TWI_COND_ACK, 1);
    take_byte(sensors, message.u.twi.data);
  }
  if (what & TWI_COND_READ) say(sensors, TWI_COND_READ, sensors->registers[sensors->at++]);
}

void sensors_start(struct sensors *sensors, avr_t *avr) {
  *sensors = (struct sensors){.avr = avr};
  avr_irq_t *spi = avr_io_getirq(avr, AVR_IOCTL_SPI_GETIRQ(0), 0);
  avr_irq_t *twi = avr_io_getirq(avr, AVR_IOCTL_TWI_GETIRQ(0), 0);
  sensors->spi_in = spi + SPI_IRQ_INPUT;
  sensors->twi_in = twi + TWI_IRQ_INPUT;
  avr_irq_register_notify(spi + SPI_IRQ_OUTPUT, on_spi_byte, sensors);
  avr_irq_register_notify(twi + TWI_IRQ_OUTPUT, on_twi, sensors);
  avr_irq_register_notify(avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ('B'), 2), on_select, sensors);
}

void sensors_move(struct sensors *sensors, struct point now) { sensors->now = now; }
