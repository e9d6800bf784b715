#define _XOPEN_SOURCE 600

#include "tty.h"

#include <fcntl.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <termios.h>
#include <unistd.h>

static void make_raw(int terminal) {
  struct termios mode;
  if (tcgetattr(terminal, &mode) != 0) return;
  mode.c_iflag = 0;
  mode.c_oflag = 0;
  mode.c_lflag = 0;
  mode.c_cflag = CS8 | CREAD | CLOCAL;
  tcsetattr(terminal, TCSANOW, &mode);
}

bool tty_start(struct tty *tty) {
  *tty = (struct tty){.master = posix_openpt(O_RDWR | O_NOCTTY)};
  if (tty->master < 0 || grantpt(tty->master) != 0 || unlockpt(tty->master) != 0) return false;
  snprintf(tty->name, sizeof tty->name, "%s", ptsname(tty->master));
  // Opened and closed once, the terminal says from then on whether anybody has it open.
  const int terminal = open(tty->name, O_RDWR | O_NOCTTY);
  if (terminal < 0) return false;
  make_raw(terminal);
  close(terminal);
  return fcntl(tty->master, F_SETFL, O_NONBLOCK) == 0;
}

bool tty_look(struct tty *tty) {
  struct pollfd look = {.fd = tty->master, .events = POLLIN};
  const bool was_open = tty->is_open;
  tty->is_open = poll(&look, 1, 0) >= 0 && !(look.revents & POLLHUP);
  return tty->is_open && !was_open;
}

void tty_write(struct tty *tty, const uint8_t *bytes, size_t length) {
  if (!tty->is_open) return;
  while (length > 0) {
    const ssize_t written = write(tty->master, bytes, length);
    if (written <= 0) return;
    bytes += written;
    length -= (size_t)written;
  }
}

size_t tty_read(struct tty *tty, uint8_t *bytes, size_t size) {
  const ssize_t count = tty->is_open ? read(tty->master, bytes, size) : 0;
  return count > 0 ? (size_t)count : 0;
}
