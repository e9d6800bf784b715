#include "board.h"

#include <avr_eeprom.h>
#include <avr_extint.h>
#include <avr_ioport.h>
#include <avr_uart.h>
#include <inttypes.h>
#include <sim_elf.h>
#include <stdio.h>
#include <string.h>

#include "../../library/crc16.h"
#include "../../library/sentence.h"

enum { CYCLES_PER_US = 16, INTERRUPT_CYCLES = 4, SUPPLY_MV = 5000, BANDGAP_MV = 1100 };
enum { ENCODER_A = 2, ENCODER_B = 3, PEDAL = 4, BUZZER = 5, LAMP = 6, RELAY = 7 };
/** The processor may run a little past what it was asked to; so it keeps away from where motion is unknown. */
enum { HORIZON_MARGIN_US = 2000 };
/** Data address of PIND: the simulator forgets the levels outside when it resets. */
enum { PIND_AT = 0x29 };
enum { STACK_PAINT = 0xC5, MEMORY_START = 0x100 };

FILE *board_out;

uint64_t board_now_us(const struct board *board) { return board->avr->cycle / CYCLES_PER_US; }

static void on_output(struct avr_irq_t *irq, uint32_t value, void *param) {
  static const char *const NAMES[] = {"buzzer", "lamp", "relay"};
  fprintf(board_out, "pin %" PRIu64 " %s %u\n", board_now_us(param), NAMES[irq->irq - BUZZER], value & 1);
}

/** The simulator hands no parameter to its reset. */
static struct board *the_board;
static void (*reset_controller)(avr_t *avr);

/** By the reset button, by a host that opens the port, or by the watchdog. */
static void on_reset(avr_t *avr) {
  reset_controller(avr);
  avr->data[PIND_AT] = the_board->levels;
  the_board->uart_takes = true;
  the_board->to_host_count = 0;
  fprintf(board_out, "reset %" PRIu64 "\n", board_now_us(the_board));
}

static void follow_line(struct board *board, char byte) {
  if (byte == '\n') {
    memcpy(board->whole_line, board->line, board->line_count);
    board->whole_line[board->line_count] = '\0';
    board->whole_line_us = board_now_us(board);
    board->line_count = 0;
  } else if (byte != '\r' && board->line_count < LINE_CHARS) {
    board->line[board->line_count++] = byte;
  }
}

static void on_uart_byte(struct avr_irq_t *irq, uint32_t value, void *param) {
  (void)irq;
  struct board *board = param;
  if (board->to_host_count < sizeof board->to_host)
    board->to_host[board->to_host_count++] = (uint8_t)value;
  follow_line(board, (char)value);
}

static void on_uart_may(struct avr_irq_t *irq, uint32_t value, void *param) {
  (void)irq;
  (void)value;
  ((struct board *)param)->uart_takes = true;
}

static void on_uart_full(struct avr_irq_t *irq, uint32_t value, void *param) {
  (void)irq;
  (void)value;
  ((struct board *)param)->uart_takes = false;
}

/** The simulator enters an interrupt in no time; the chip takes four cycles ("Interrupt Response Time"). */
static void on_interrupt(struct avr_irq_t *irq, uint32_t vector, void *param) {
  (void)irq;
  if (vector > 0) ((struct board *)param)->avr->cycle += INTERRUPT_CYCLES;
}

/** Time passes by the board's own loop, not by sleeping here. */
static void do_not_sleep(avr_t *avr, avr_cycle_count_t how_long) {
  (void)avr;
  (void)how_long;
}

static avr_irq_t *uart_irq(struct board *board, int which) {
  return avr_io_getirq(board->avr, AVR_IOCTL_UART_GETIRQ('0'), which);
}

static avr_irq_t *pin_irq(struct board *board, int pin) {
  return avr_io_getirq(board->avr, AVR_IOCTL_IOPORT_GETIRQ('D'), pin);
}

static void connect(struct board *board) {
  uint32_t flags = 0;
  avr_ioctl(board->avr, AVR_IOCTL_UART_SET_FLAGS('0'), &flags);
  avr_irq_register_notify(uart_irq(board, UART_IRQ_OUTPUT), on_uart_byte, board);
  avr_irq_register_notify(uart_irq(board, UART_IRQ_OUT_XON), on_uart_may, board);
  avr_irq_register_notify(uart_irq(board, UART_IRQ_OUT_XOFF), on_uart_full, board);
  // The firmware uses edges only; looking for low levels would cost most of the processor's time here.
  for (uint8_t interrupt = 0; interrupt < 2; interrupt++)
    avr_extint_set_strict_lvl_trig(board->avr, interrupt, 0);
  avr_irq_register_notify(avr_get_interrupt_irq(board->avr, AVR_INT_ANY) + AVR_INT_IRQ_RUNNING,
                          on_interrupt, board);
  for (int pin = BUZZER; pin <= RELAY; pin++)
    avr_irq_register_notify(pin_irq(board, pin), on_output, board);
}

/** Levels from outside are told as pulls too: else each write to the port would pull the inputs up. */
static void show_levels(struct board *board, uint8_t levels) {
  const uint8_t changed = board->levels ^ levels;
  avr_ioport_external_t outside = {.name = 'D', .mask = 1 << ENCODER_A | 1 << ENCODER_B | 1 << PEDAL};
  board->levels = levels;
  outside.value = levels;
  avr_ioctl(board->avr, AVR_IOCTL_IOPORT_SET_EXTERNAL('D'), &outside);
  for (int pin = ENCODER_A; pin <= PEDAL; pin++)
    if (changed & 1 << pin) avr_raise_irq(pin_irq(board, pin), levels >> pin & 1);
}

/** A leads B when counts rise: 00, 10, 11, 01. */
static uint8_t encoder_levels(int32_t counts) {
  const uint8_t quarter = (uint8_t)((uint32_t)counts & 3);
  const bool a = quarter == 1 || quarter == 2;
  const bool b = quarter == 2 || quarter == 3;
  return (uint8_t)(a << ENCODER_A | b << ENCODER_B);
}

static void show_motion(struct board *board) {
  const struct point now = motion_at(&board->motion, board_now_us(board));
  sensors_move(&board->sensors, now);
  const uint8_t pedal = now.is_pressed ? 0 : 1 << PEDAL;
  // One count after the other, as an encoder does, should the processor have overshot two of them.
  do {
    if (board->counts_shown < now.counts) board->counts_shown++;
    else if (board->counts_shown > now.counts) board->counts_shown--;
    const uint8_t levels = encoder_levels(board->counts_shown) | pedal;
    if (levels != board->levels) show_levels(board, levels);
  } while (board->counts_shown != now.counts);
}

static void paint_stack(struct board *board, const elf_firmware_t *firmware) {
  board->stack_floor = (uint16_t)(MEMORY_START + firmware->datasize + firmware->bsssize);
  memset(board->avr->data + board->stack_floor, STACK_PAINT,
         (size_t)board->avr->ramend - board->stack_floor + 1);
}

const char *board_start(struct board *board, const char *elf) {
  elf_firmware_t firmware = {0};
  *board = (struct board){.uart_takes = true};
  if (elf_read_firmware(elf, &firmware) != 0) return "The firmware cannot be read.";
  board->avr = avr_make_mcu_by_name("atmega328p");
  if (board->avr == NULL) return "This simulator does not know the atmega328p.";
  avr_init(board->avr);
  board->avr->log = LOG_ERROR;
  firmware.frequency = CYCLES_PER_US * 1000000;
  avr_load_firmware(board->avr, &firmware);
  board->avr->vcc = board->avr->avcc = board->avr->aref = SUPPLY_MV;
  board->avr->sleep = do_not_sleep;
  paint_stack(board, &firmware);
  motion_start(&board->motion);
  sensors_start(&board->sensors, board->avr);
  connect(board);
  show_levels(board, 1 << PEDAL);
  the_board = board;
  reset_controller = board->avr->reset;
  board->avr->reset = on_reset;
  return tty_start(&board->tty) ? NULL : "The system gives no pseudo-terminal.";
}

void board_name(struct board *board, const char *name) {
  uint8_t record[TEXT_CHARS_MAX + 4] = {0};
  snprintf((char *)record, TEXT_CHARS_MAX + 1, "%s", name);
  record[TEXT_CHARS_MAX] = BANDGAP_MV & 0xFF;
  record[TEXT_CHARS_MAX + 1] = BANDGAP_MV >> 8;
  const uint16_t crc = crc16_ccitt((const char *)record, TEXT_CHARS_MAX + 2);
  record[TEXT_CHARS_MAX + 2] = crc & 0xFF;
  record[TEXT_CHARS_MAX + 3] = (uint8_t)(crc >> 8);
  avr_eeprom_desc_t description = {.ee = record, .offset = 0, .size = sizeof record};
  avr_ioctl(board->avr, AVR_IOCTL_EEPROM_SET, &description);
}

void board_reset(struct board *board) { avr_reset(board->avr); }

/**
 * Only there to be due: the simulator neither runs nor sleeps past it. Due again at once, since the instruction
 * that it ends with may be the one that goes to sleep.
 */
static avr_cycle_count_t on_stop(avr_t *avr, avr_cycle_count_t when, void *param) {
  (void)avr;
  (void)param;
  return when + 1;
}

static uint64_t earlier(uint64_t a, uint64_t b) { return a < b ? a : b; }

void board_run(struct board *board, uint64_t until_us) {
  avr_t *avr = board->avr;
  const uint64_t horizon_us = motion_horizon_us(&board->motion);
  const uint64_t end_us =
      earlier(until_us, horizon_us > HORIZON_MARGIN_US ? horizon_us - HORIZON_MARGIN_US : 0);
  while (board_now_us(board) < end_us) {
    const uint64_t next_us = motion_next_us(&board->motion, board_now_us(board));
    const uint64_t stop = earlier(next_us, end_us) * CYCLES_PER_US;
    // The simulator has worked out already how far it runs before it looks at its timers again.
    avr->run_cycle_count = 1;
    avr_cycle_timer_register(avr, stop - avr->cycle, on_stop, board);
    while (avr->cycle < stop) {
      const int state = avr_run(avr);
      if (state == cpu_Done || state == cpu_Crashed) return;
    }
    show_motion(board);
  }
}

static void feed_uart(struct board *board) {
  while (board->uart_takes && board->host_count > 0) {
    const uint8_t byte = board->from_host[board->host_first];
    board->host_first = (board->host_first + 1) % sizeof board->from_host;
    board->host_count--;
    avr_raise_irq(uart_irq(board, UART_IRQ_INPUT), byte);
  }
}

bool board_serve_tty(struct board *board) {
  const bool has_opened = tty_look(&board->tty);
  uint8_t bytes[256];
  const size_t free_bytes = sizeof board->from_host - board->host_count;
  const size_t count = tty_read(&board->tty, bytes, free_bytes < sizeof bytes ? free_bytes : sizeof bytes);
  for (size_t at = 0; at < count; at++) {
    board->from_host[(board->host_first + board->host_count) % sizeof board->from_host] = bytes[at];
    board->host_count++;
  }
  feed_uart(board);
  // What was sent before anybody listened is gone.
  if (has_opened) board->to_host_count = 0;
  tty_write(&board->tty, board->to_host, board->to_host_count);
  board->to_host_count = 0;
  return has_opened;
}

unsigned int board_stack_bytes(const struct board *board) {
  uint16_t at = board->stack_floor;
  while (at <= board->avr->ramend && board->avr->data[at] == STACK_PAINT) at++;
  return board->avr->ramend - at + 1U;
}
