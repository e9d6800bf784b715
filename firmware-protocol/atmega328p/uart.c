#include "uart.h"

#include <avr/interrupt.h>
#include <avr/io.h>
#include <util/atomic.h>

#include "../library/frame.h" // MAX_LINE_CHARS
#include "../library/line-splitter.h"
#include "board.h"
#include "clock.h"

/**
 * 16 MHz has no whole divider for 115,200. With U2X, 16 MHz / (8 · 17) is 117,647 baud, 2.1 % fast; without,
 * it would be 3.5 % slow. The last of ten bits is sampled in its middle, so both sides together may be off by
 * half a bit in nine and a half, 5 %: 2.1 % fits, as USB adapters are right to a fraction of a percent.
 */
enum { BAUD_DIVIDER = 17 };
/** An LF comes right behind its CR; a little more than two characters' time. */
static const uint16_t LF_PATIENCE_US = 200;
enum { STAMPS = 8, STAMPS_MASK = STAMPS - 1 };
/** One line waits in `held` while the next comes in, 82 characters at most. */
enum { RX_BYTES = 128, RX_MASK = RX_BYTES - 1 };

/** A ring of 256: its indices wrap by themselves. */
static char tx_ring[256];
static volatile uint8_t tx_head, tx_tail;
static uint8_t rx_ring[RX_BYTES];
static volatile uint8_t rx_head, rx_tail;

/** A tick for each CR or LF in the ring: four for two whole lines, the rest is for empty ones. */
static uint32_t stamps[STAMPS];
static volatile uint8_t stamps_head, stamps_tail;

static char held[MAX_LINE_CHARS];
static struct line_splitter splitter;
static uint8_t waiting_length;
static bool may_have_lf;
static uint32_t ended_us;

static bool is_line_end(uint8_t byte) { return byte == '\r' || byte == '\n'; }

/** What does not fit is lost. That damages a line, and a damaged line is not obeyed. */
ISR(USART_RX_vect) {
  const uint8_t state = UCSR0A;
  uint8_t byte = UDR0;
  if (state & _BV(FE0)) byte = 0;
  const uint8_t next = (rx_head + 1) & RX_MASK;
  if (next == rx_tail) return;
  if (is_line_end(byte)) {
    if ((uint8_t)(stamps_head - stamps_tail) == STAMPS) return;
    stamps[stamps_head++ & STAMPS_MASK] = clock_us_in_interrupt();
  }
  rx_ring[rx_head] = byte;
  rx_head = next;
}

ISR(USART_UDRE_vect) {
  const uint8_t tail = tx_tail;
  UDR0 = (uint8_t)tx_ring[tail];
  tx_tail = (uint8_t)(tail + 1);
  if (tx_tail == tx_head) UCSR0B &= (uint8_t)~_BV(UDRIE0);
}

void uart_start(void) {
  line_splitter_start(&splitter, held, sizeof held);
  UCSR0A = _BV(U2X0);
  UBRR0 = BAUD_DIVIDER - 1;
  UCSR0C = _BV(UCSZ01) | _BV(UCSZ00);
  UCSR0B = _BV(RXEN0) | _BV(TXEN0) | _BV(RXCIE0);
}

static uint16_t room(void) { return (uint16_t)(255 - (uint8_t)(tx_head - tx_tail)); }

static void push(char character) {
  tx_ring[tx_head] = character;
  tx_head = (uint8_t)(tx_head + 1);
}

static void send(const char *line, uint8_t length) {
  for (uint8_t at = 0; at < length; at++) push(line[at]);
  push('\r');
  push('\n');
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) { UCSR0B |= _BV(UDRIE0); }
}

static bool is_idle(void) { return tx_head == tx_tail; }

static uint32_t begin(void) {
  uint32_t us = 0;
  // One character at most is still in front of it.
  while (!(UCSR0A & _BV(UDRE0))) {
  }
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
    us = clock_us_in_interrupt();
    UDR0 = '$';
  }
  return us;
}

const struct wire UART_WIRE = {.room = room, .send = send, .is_idle = is_idle, .begin = begin};

static uint8_t pop(void) {
  const uint8_t byte = rx_ring[rx_tail];
  rx_tail = (rx_tail + 1) & RX_MASK;
  if (is_line_end(byte)) {
    ended_us = stamps[stamps_tail & STAMPS_MASK];
    stamps_tail = (uint8_t)(stamps_tail + 1);
  }
  return byte;
}

static void look_for_line(void) {
  while (waiting_length == 0 && rx_tail != rx_head) {
    const uint8_t byte = pop();
    waiting_length = (uint8_t)line_splitter_push(&splitter, byte);
    may_have_lf = byte == '\r';
  }
}

/** @return false while an LF may still be on the way. */
static bool has_all_of_its_end(void) {
  if (!may_have_lf) return true;
  if (rx_tail != rx_head) {
    if (rx_ring[rx_tail] == '\n') pop();
    return true;
  }
  return clock_us() - ended_us >= LF_PATIENCE_US;
}

uint8_t uart_take_line(const char **line, uint32_t *received_us) {
  look_for_line();
  if (waiting_length == 0 || !has_all_of_its_end()) return 0;
  const uint8_t length = waiting_length;
  waiting_length = 0;
  *line = held;
  *received_us = ended_us;
  return length;
}
