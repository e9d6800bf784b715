/*
 * A simulated board: the real firmware in a simulated ATmega328P, its UART as a pseudo-terminal, in real time.
 * Built and driven by ../simulated-board.ts.
 *
 *   simulated-board FIRMWARE.elf [board name]
 *
 * Standard input, one line each, until its end:
 *   <us> <counts> <pedal> [<x> <y> <z>]   where sensor and pedal stand at that time; even motion in between
 *   sensor good|weak|error|absent         how the absolute encoder or accelerometer is
 *   supply <mv>                           the supply
 *   reset                                 the reset button
 *   on-open keep|reset                    whether opening the port starts the board anew, as on most of them
 *   stack                                 asks for the deepest stack so far
 *   tell-lines                            from now on each line that the firmware sends is told
 *
 * Standard output, one line each:
 *   tty <name>                  at the start
 *   at <us>                     time, every 5 ms; it never passes the last point of the motion
 *   pin <us> <output> <level>   an output has changed
 *   open <us>, reset <us>       a host has opened the port; the board starts anew
 *   stack <bytes>
 *   zero <wall us>              where on the machine's monotonic clock simulated time is 0, when that is new
 *   line <us> <wall us> <text>  when its last byte went to the transmitter, and when it was on the terminal
 *
 * This program is linked to libsimavr, which is under the GNU General Public License, version 3.
 */
#define _POSIX_C_SOURCE 200809L

#include <errno.h>
#include <fcntl.h>
#include <inttypes.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "board.h"

enum { ROUND_US = 1000, TELL_EVERY_US = 5000, LINE_BYTES = 128, INPUT_BYTES = 65536 };
/**
 * What this machine was too busy for is made up for, at about ten times the speed: a board whose clock stood still
 * for a while is none that a host could meet. After a longer stall simulated time goes on from where it was.
 */
enum { CATCH_UP_MAX_US = 30000000 };

static struct board board;
static bool resets_on_open = true;
static bool tells_lines;

static bool set_sensor(const char *word) {
  static const char *const WORDS[] = {"good", "weak", "error", "absent"};
  for (int at = 0; at < 4; at++) {
    if (strcmp(word, WORDS[at]) != 0) continue;
    board.sensors.state = (enum sensor_state)at;
    return true;
  }
  return false;
}

static bool add_point(const char *line) {
  struct point point = {0};
  int pedal = 0;
  const int read = sscanf(line, "%" SCNu64 " %" SCNd32 " %d %" SCNd16 " %" SCNd16 " %" SCNd16,
                          &point.at_us, &point.counts, &pedal, &point.axes[0], &point.axes[1],
                          &point.axes[2]);
  point.is_pressed = pedal == 1;
  return (read == 3 || read == 6) && motion_add(&board.motion, point);
}

static bool obey(const char *line) {
  unsigned int supply_mv;
  char word[LINE_BYTES];
  if (sscanf(line, "sensor %127s", word) == 1) return set_sensor(word);
  if (sscanf(line, "supply %u", &supply_mv) == 1) {
    board.avr->vcc = board.avr->avcc = board.avr->aref = supply_mv;
    return true;
  }
  if (strcmp(line, "reset") == 0) board_reset(&board);
  else if (strcmp(line, "on-open keep") == 0) resets_on_open = false;
  else if (strcmp(line, "on-open reset") == 0) resets_on_open = true;
  else if (strcmp(line, "tell-lines") == 0) tells_lines = true;
  else if (strcmp(line, "stack") == 0) fprintf(board_out, "stack %u\n", board_stack_bytes(&board));
  else return add_point(line);
  return true;
}

/** @return false at the end of standard input, or at a line that cannot be obeyed. */
static bool read_orders(void) {
  static char held[INPUT_BYTES];
  static size_t used;
  const ssize_t count = read(STDIN_FILENO, held + used, sizeof held - used - 1);
  if (count == 0) return false;
  if (count < 0) return errno == EAGAIN || errno == EINTR;
  used += (size_t)count;
  held[used] = '\0';
  char *from = held;
  for (char *end; (end = strchr(from, '\n')) != NULL; from = end + 1) {
    *end = '\0';
    if (obey(from)) continue;
    fprintf(stderr, "simulated-board: cannot obey \"%s\".\n", from);
    exit(2);
  }
  used -= (size_t)(from - held);
  memmove(held, from, used);
  return used < sizeof held - 1;
}

/** The simulator chats on standard output; that is for what this program has to tell. */
static bool take_stdout(void) {
  const int ours = dup(STDOUT_FILENO);
  board_out = ours < 0 ? NULL : fdopen(ours, "w");
  if (board_out == NULL || freopen("/dev/null", "w", stdout) == NULL) return false;
  return setvbuf(board_out, NULL, _IOLBF, 0) == 0;
}

static uint64_t wall_us(void) {
  struct timespec now;
  clock_gettime(CLOCK_MONOTONIC, &now);
  return (uint64_t)now.tv_sec * 1000000 + (uint64_t)now.tv_nsec / 1000;
}

static void tell_time(void) {
  static uint64_t told_us;
  const uint64_t now_us = board_now_us(&board);
  if (now_us - told_us < TELL_EVERY_US) return;
  told_us = now_us;
  fprintf(board_out, "at %" PRIu64 "\n", now_us);
}

static void tell_zero(uint64_t zero_us) {
  static uint64_t told_us;
  if (zero_us == told_us) return;
  told_us = zero_us;
  fprintf(board_out, "zero %" PRIu64 "\n", zero_us);
}

/** A line takes longer than a round of a millisecond, so there is one new one at most. */
static void tell_line(void) {
  if (tells_lines && board.whole_line_us > 0)
    fprintf(board_out, "line %" PRIu64 " %" PRIu64 " %s\n", board.whole_line_us, wall_us(),
            board.whole_line);
  board.whole_line_us = 0;
}

/** Runs in steps of a millisecond, so that bytes go to the host as they come. */
static void catch_up(uint64_t until_us) {
  uint64_t before_us;
  do {
    before_us = board_now_us(&board);
    board_run(&board, before_us + ROUND_US < until_us ? before_us + ROUND_US : until_us);
    if (board_serve_tty(&board)) {
      fprintf(board_out, "open %" PRIu64 "\n", board_now_us(&board));
      if (resets_on_open) board_reset(&board);
    }
    tell_line();
    tell_time();
  } while (board_now_us(&board) < until_us && board_now_us(&board) > before_us);
}

int main(int count, char **words) {
  if (count < 2 || count > 3) {
    fputs("Usage: simulated-board FIRMWARE.elf [board name]\n", stderr);
    return 2;
  }
  if (!take_stdout()) return 2;
  const char *trouble = board_start(&board, words[1]);
  if (trouble != NULL) {
    fprintf(stderr, "simulated-board: %s\n", trouble);
    return 2;
  }
  if (count == 3) board_name(&board, words[2]);
  if (fcntl(STDIN_FILENO, F_SETFL, O_NONBLOCK) != 0) return 2;
  fprintf(board_out, "tty %s\n", board.tty.name);
  // Wall clock at which simulated time was 0.
  uint64_t zero_us = wall_us();
  while (read_orders()) {
    // Time begins when the motion does.
    if (motion_horizon_us(&board.motion) == 0) zero_us = wall_us();
    else tell_zero(zero_us);
    const uint64_t target_us = wall_us() - zero_us;
    catch_up(target_us);
    if (board.avr->state == cpu_Done || board.avr->state == cpu_Crashed) {
      fputs("simulated-board: the firmware has crashed.\n", stderr);
      return 3;
    }
    const uint64_t behind_us = target_us - board_now_us(&board);
    if (target_us > board_now_us(&board) && behind_us > CATCH_UP_MAX_US) zero_us += behind_us;
    struct pollfd wait = {.fd = STDIN_FILENO, .events = POLLIN};
    poll(&wait, 1, 1);
  }
  return 0;
}
