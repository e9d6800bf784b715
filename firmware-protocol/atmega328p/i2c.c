#include "i2c.h"

#include <avr/interrupt.h>
#include <avr/io.h>
#include <util/delay.h>
#include <util/twi.h>

#include "board.h"

static const uint32_t CLOCK_HZ = 100000;
/** A byte takes 90 µs; a sensor that holds the clock longer than this has hung. */
static const uint16_t LOOKS_MAX = 1000;
static const double LOOK_US = 1;

void i2c_start(void) {
  I2C_PORT |= _BV(I2C_DATA) | _BV(I2C_CLOCK);
  TWSR = 0;
  TWBR = (uint8_t)((F_CPU / CLOCK_HZ - 16) / 2);
  TWCR = _BV(TWEN);
}

/** A sensor that was reset in mid-byte may hold the data wire: nine clocks let it finish. */
static void free_wires(void) {
  TWCR = 0;
  for (uint8_t clocks = 0; clocks < 9; clocks++) {
    I2C_PORT &= (uint8_t)~_BV(I2C_CLOCK);
    I2C_DIRECTION |= _BV(I2C_CLOCK);
    _delay_us(5);
    I2C_DIRECTION &= (uint8_t)~_BV(I2C_CLOCK);
    I2C_PORT |= _BV(I2C_CLOCK);
    _delay_us(5);
  }
  i2c_start();
}

static volatile uint8_t step_status;
static volatile bool step_is_done;

/** TWINT stays as it is when it is written as 0: the bus waits for the next step. */
ISR(TWI_vect) {
  step_status = TWSR & TW_STATUS_MASK;
  step_is_done = true;
  TWCR = _BV(TWEN);
}

/** Does one step on the bus. @return Its status; TW_BUS_ERROR when it does not end. */
static uint8_t step(uint8_t control) {
  step_is_done = false;
  TWCR = (uint8_t)(_BV(TWINT) | _BV(TWEN) | _BV(TWIE) | control);
  for (uint16_t looks = 0; !step_is_done; looks++) {
    if (looks == LOOKS_MAX) return TW_BUS_ERROR;
    _delay_us(LOOK_US);
  }
  return step_status;
}

static bool start(uint8_t wanted) { return step(_BV(TWSTA)) == wanted; }

/** Sends an address or a byte: acknowledged is acknowledged, whichever of both it was. */
static bool send(uint8_t byte) {
  TWDR = byte;
  const uint8_t status = step(0);
  return status == TW_MT_SLA_ACK || status == TW_MR_SLA_ACK || status == TW_MT_DATA_ACK;
}

static bool end(bool is_good) {
  if (is_good) TWCR = _BV(TWINT) | _BV(TWEN) | _BV(TWSTO);
  else free_wires();
  return is_good;
}

static bool choose_register(uint8_t address, uint8_t at) {
  return start(TW_START) && send((uint8_t)(address << 1 | TW_WRITE)) && send(at);
}

static bool receive(uint8_t *bytes, uint8_t length) {
  for (uint8_t at = 0; at < length; at++) {
    const bool is_last = at + 1 == length;
    const uint8_t wanted = is_last ? TW_MR_DATA_NACK : TW_MR_DATA_ACK;
    if (step(is_last ? 0 : _BV(TWEA)) != wanted) return false;
    bytes[at] = TWDR;
  }
  return true;
}

static bool i2c_read(uint8_t address, uint8_t from, uint8_t *bytes, uint8_t length) {
  return end(choose_register(address, from) && start(TW_REP_START) &&
             send((uint8_t)(address << 1 | TW_READ)) && receive(bytes, length));
}

static bool i2c_write(uint8_t address, uint8_t at, uint8_t byte) {
  return end(choose_register(address, at) && send(byte));
}

const struct i2c_bus I2C_BUS = {.read = i2c_read, .write = i2c_write};
