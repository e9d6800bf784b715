#include "i2c.h"

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

/** Does one step on the bus. @return Whether it ended with the status that was hoped for. */
static bool step(uint8_t control, uint8_t wanted) {
  TWCR = (uint8_t)(_BV(TWINT) | _BV(TWEN) | control);
  for (uint16_t looks = 0; !(TWCR & _BV(TWINT)); looks++) {
    if (looks == LOOKS_MAX) return false;
    _delay_us(LOOK_US);
  }
  return (TWSR & TW_STATUS_MASK) == wanted;
}

static bool start(uint8_t wanted) { return step(_BV(TWSTA), wanted); }

static bool send(uint8_t byte, uint8_t wanted) {
  TWDR = byte;
  return step(0, wanted);
}

static bool end(bool is_good) {
  if (is_good) TWCR = _BV(TWINT) | _BV(TWEN) | _BV(TWSTO);
  else free_wires();
  return is_good;
}

static bool choose_register(uint8_t address, uint8_t at) {
  return start(TW_START) && send((uint8_t)(address << 1 | TW_WRITE), TW_MT_SLA_ACK) &&
         send(at, TW_MT_DATA_ACK);
}

static bool receive(uint8_t *bytes, uint8_t length) {
  for (uint8_t at = 0; at < length; at++) {
    const bool is_last = at + 1 == length;
    if (!step(is_last ? 0 : _BV(TWEA), is_last ? TW_MR_DATA_NACK : TW_MR_DATA_ACK)) return false;
    bytes[at] = TWDR;
  }
  return true;
}

static bool i2c_read(uint8_t address, uint8_t from, uint8_t *bytes, uint8_t length) {
  return end(choose_register(address, from) && start(TW_REP_START) &&
             send((uint8_t)(address << 1 | TW_READ), TW_MR_SLA_ACK) && receive(bytes, length));
}

static bool i2c_write(uint8_t address, uint8_t at, uint8_t byte) {
  return end(choose_register(address, at) && send(byte, TW_MT_DATA_ACK));
}

const struct i2c_bus I2C_BUS = {.read = i2c_read, .write = i2c_write};
