#ifndef OVERBEND_I2C_H
#define OVERBEND_I2C_H

#include "../library/bus.h"

/** 100 kHz, which a metre of wire in a shop still carries. */
void i2c_start(void);

/** A call that a stuck wire holds up ends after about a millisecond a byte. */
extern const struct i2c_bus I2C_BUS;

#endif
