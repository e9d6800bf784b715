#ifndef OVERBEND_TTY_H
#define OVERBEND_TTY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/** The far end of a pseudo-terminal that a host opens as its serial port. */
struct tty {
  int master;
  char name[64];
  bool is_open;
};

/** @return false when the system gives no pseudo-terminal. */
bool tty_start(struct tty *tty);

/** Looks whether a host has the port open. @return true when one has just opened it. */
bool tty_look(struct tty *tty);

/** What nobody takes is lost, as on a wire. */
void tty_write(struct tty *tty, const uint8_t *bytes, size_t length);

/** @return How many bytes came; 0 when there are none. */
size_t tty_read(struct tty *tty, uint8_t *bytes, size_t size);

#endif
