#ifndef OVERBEND_SIMULATED_BOARD_H
#define OVERBEND_SIMULATED_BOARD_H

#include <stdio.h>

#include "motion.h"
#include "sensors.h"
#include "tty.h"

/** Where the board tells what happens to it. */
extern FILE *board_out;

/** Longer than any line of the protocol. */
enum { LINE_CHARS = 127 };

/** A simulated controller with the real firmware in it, its pins and its wires. */
struct board {
  avr_t *avr;
  struct tty tty;
  struct motion motion;
  struct sensors sensors;
  /** Levels of port D as they come from outside: encoder and pedal. */
  uint8_t levels;
  int32_t counts_shown;
  /** Bytes from the host that wait for the receiver. */
  uint8_t from_host[4096];
  uint32_t host_first;
  uint32_t host_count;
  bool uart_takes;
  uint8_t to_host[4096];
  uint32_t to_host_count;
  /** The line that the firmware is sending, without its ending, and the last one that is whole. */
  char line[LINE_CHARS + 1];
  uint32_t line_count;
  char whole_line[LINE_CHARS + 1];
  /** When its last byte was given to the transmitter; 0 once it was told. */
  uint64_t whole_line_us;
  /** First byte of memory that is nobody's: above it grows the stack. */
  uint16_t stack_floor;
};

/** @return One sentence when the firmware cannot be loaded, else NULL. */
const char *board_start(struct board *board, const char *elf);

/** Writes what an EEPROM says of its board; without it the firmware draws a number. */
void board_name(struct board *board, const char *name);

/** Lets the board run up to a time, but not beyond what is known of the motion. */
void board_run(struct board *board, uint64_t until_us);

uint64_t board_now_us(const struct board *board);

void board_reset(struct board *board);

/** Carries bytes between terminal and UART. @return true when a host has just opened the port. */
bool board_serve_tty(struct board *board);

/** The deepest that the stack ever was, in bytes. */
unsigned int board_stack_bytes(const struct board *board);

#endif
