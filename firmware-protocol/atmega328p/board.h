#ifndef OVERBEND_BOARD_H
#define OVERBEND_BOARD_H

#include <avr/io.h>

/*
 * What the application takes for granted about the board: WIRING.md has the same as a table. In brackets the
 * numbers that hobby boards print beside the pins.
 */

#ifndef F_CPU
#define F_CPU 16000000UL
#endif
#define BAUD 115200UL
/** 8N1: start bit, eight data bits, stop bit. */
#define BITS_PER_CHAR 10

/** Encoder: A on PD2 (2), B on PD3 (3), the two pins with an interrupt of their own. */
#define ENCODER_PINS PIND
#define ENCODER_PORT PORTD
#define ENCODER_A PD2
#define ENCODER_B PD3

/** Pedal to ground: PD4 (4). */
#define PEDAL_PINS PIND
#define PEDAL_PORT PORTD
#define PEDAL PD4
#define PEDAL_CHANGE_GROUP PCIE2
#define PEDAL_CHANGE_MASK PCMSK2
#define PEDAL_CHANGE_PIN PCINT20

/** Outputs, high is on: buzzer PD5 (5), lamp PD6 (6), relay PD7 (7). */
#define OUTPUT_PORT PORTD
#define OUTPUT_DIRECTION DDRD
#define BUZZER PD5
#define LAMP PD6
#define RELAY PD7

/** SPI: select PB2 (10), data out PB3 (11), data in PB4 (12), clock PB5 (13). */
#define SPI_PORT PORTB
#define SPI_DIRECTION DDRB
#define SPI_SELECT PB2
#define SPI_OUT PB3
#define SPI_CLOCK PB5

/** I²C: data PC4 (A4), clock PC5 (A5). */
#define I2C_PORT PORTC
#define I2C_DIRECTION DDRC
#define I2C_PINS PINC
#define I2C_DATA PC4
#define I2C_CLOCK PC5

/** Second channel, 0 to the supply: ADC0 (A0). */
#define SECOND_CHANNEL_INPUT 0

#endif
