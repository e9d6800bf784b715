#include <avr/interrupt.h>
#include <avr/sleep.h>
#include <avr/wdt.h>

#include "../library/device.h"
#include "analog.h"
#include "board.h"
#include "clock.h"
#include "identity.h"
#include "pedal.h"
#include "pins.h"
#include "sensor.h"
#include "uart.h"

#ifndef FIRMWARE
#error The firmware needs its version: make.
#endif

/** Of the wire nine tenths are for readings; the rest is for status, events and answers. */
static const uint16_t READING_CHARS_PER_S = BAUD / BITS_PER_CHAR / 10 * 9;
#ifdef SECOND_CHANNEL
static const uint8_t SECOND_CHARS = 4;
#else
static const uint8_t SECOND_CHARS = 0;
#endif
/**
 * At 16 MHz the chip needs 3.8 V (its data sheet's line from 10 MHz at 2.7 V to 20 MHz at 4.5 V), and the
 * bandgap is off by up to 9 %: so a good supply of 4.75 V never seems low, and one that is too low does.
 */
static const uint16_t SUPPLY_LOW_MV = 4250;
enum { EVENTS_KEPT = 4 };

static struct identity identity;
static struct device_spec spec;
static struct device device;

/** Events that wait for room, oldest first. */
static struct event events[EVENTS_KEPT];
static uint8_t events_waiting;

/** After a reset by the watchdog it goes on running, with its shortest time. */
__attribute__((naked, used, section(".init3"))) static void stop_watchdog(void) {
  MCUSR = 0;
  wdt_disable();
}

static void start(void) {
  pins_start();
  identity = identity_read();
  clock_start();
  uart_start();
  sei();
  sensor_start();
  pedal_start();
  analog_start(identity.bandgap_mv);
  const uint16_t line_chars = (uint16_t)(SENSOR_LINE_CHARS + SECOND_CHARS);
  const uint16_t rate_max_hz = READING_CHARS_PER_S / line_chars;
  spec = (struct device_spec){.firmware = FIRMWARE,
                              .board = identity.board,
                              .sensor = SENSOR_KIND,
                              .counts_per_turn = SENSOR_COUNTS_PER_TURN,
                              .rate_hz = RATE_HZ < rate_max_hz ? RATE_HZ : rate_max_hz,
                              .rate_max_hz = rate_max_hz,
                              .outputs = OUTPUTS};
  device_start(&device, &spec, &UART_WIRE, clock_us());
  // Idle: the timers and the UART go on.
  SMCR = _BV(SE);
  // Nothing in the round below takes longer than 10 ms, whatever the sensor does.
  wdt_enable(WDTO_120MS);
}

static void keep_event(const struct event *event) {
  if (events_waiting < EVENTS_KEPT) events[events_waiting++] = *event;
  else device_lose_event(&device);
}

static void tell_events(void) {
  struct event event;
  if (pedal_take(&event)) keep_event(&event);
  while (events_waiting > 0 && device_send_event(&device, events[0])) {
    events_waiting--;
    for (uint8_t at = 0; at < events_waiting; at++) events[at] = events[at + 1];
  }
}

static uint8_t supply_flag(void) {
  const uint16_t supply_mv = analog_supply_mv();
  return supply_mv > 0 && supply_mv < SUPPLY_LOW_MV ? FLAG_SUPPLY_LOW : 0;
}

static void tell_reading(const struct sensor_reading *reading) {
  const uint8_t flags = reading->flags | supply_flag();
  if (SENSOR_KIND == SENSOR_ACCELEROMETER) {
    device_send_axes(&device, (struct axes){.tick_us = reading->tick_us,
                                            .x = reading->axes.x,
                                            .y = reading->axes.y,
                                            .z = reading->axes.z,
                                            .flags = flags});
    return;
  }
  struct sample sample = {.tick_us = reading->tick_us, .counts = reading->counts, .flags = flags};
  sample.has_second = analog_second(&sample.second);
  device_send_sample(&device, sample);
}

static void obey(void) {
  const char *line;
  uint32_t received_us;
  if (!device_can_answer(&device)) return;
  const uint8_t length = uart_take_line(&line, &received_us);
  if (length > 0) device_take_line(&device, line, length, received_us, clock_us());
}

/** One round of everything; each interrupt, and each millisecond, brings the next. */
static void go_round(uint8_t *flags) {
  const uint32_t now_us = clock_us();
  device_advance(&device, now_us);
  tell_events();
  const struct health health = {.flags = *flags | supply_flag(),
                                .supply_mv = analog_supply_mv(),
                                .sensor_errors = sensor_errors()};
  device_report(&device, health, now_us);
  obey();
  pins_show(&device.outputs);
  analog_advance();
  sensor_advance(now_us);
  if (device_wants_sample(&device, now_us)) {
    const struct sensor_reading reading = sensor_read();
    *flags = reading.flags;
    tell_reading(&reading);
  }
}

int main(void) {
  uint8_t sensor_flags = 0;
  start();
  for (;;) {
    wdt_reset();
    go_round(&sensor_flags);
    sleep_cpu();
  }
}
