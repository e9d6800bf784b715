#ifndef OVERBEND_DEVICE_H
#define OVERBEND_DEVICE_H

#include "outputs.h"
#include "pace.h"
#include "sentence.h"

enum { PROTOCOL_VERSION = 1 };

/** What a board is: does not change while it runs. */
struct device_spec {
  const char *firmware;
  const char *board;
  enum sensor_kind sensor;
  uint32_t counts_per_turn;
  /** Readings a second at the start, and the most that the wire carries. */
  uint16_t rate_hz;
  uint16_t rate_max_hz;
  /** Bit 1 << OUTPUT_… for each output that the board has. */
  uint8_t outputs;
};

/**
 * The way out of a board. It never waits: `room` tells how many characters it takes now, and what does not fit
 * is not sent. CR LF is the wire's own doing and counts in `room`.
 */
struct wire {
  uint16_t (*room)(void);
  void (*send)(const char *line, uint8_t length);
  /** Nothing is left to be given to the transmitter. */
  bool (*is_idle)(void);
  /**
   * Gives `$` to the transmitter, when nothing is left before it, and tells the tick of that moment; the rest
   * of the line, without its `$`, follows by `send`.
   */
  uint32_t (*begin)(void);
};

/** A board as a state machine. It has no clock and no pins of its own: time is handed in. */
struct device {
  const struct device_spec *spec;
  const struct wire *wire;
  struct outputs outputs;
  struct pace sampling;
  struct pace reporting;
  uint16_t rate_hz;
  uint8_t protocol;
  /** Samples, axes and events share one count. */
  uint16_t sequence;
  uint32_t overruns;
  /** A clock query that waits for an idle transmitter. */
  bool owes_clock_reply;
  struct clock_reply clock_reply;
};

/** Fields of a status that only the board knows. */
struct health {
  uint8_t flags;
  /** 0 when it is not measured. */
  uint16_t supply_mv;
  uint32_t sensor_errors;
};

/** Says CR LF and hello. All outputs are off. */
void device_start(struct device *device, const struct device_spec *spec, const struct wire *wire,
                  uint32_t now_us);

/** Switches off what has outlived its time, and sends a clock reply that waits. Call it all the time. */
void device_advance(struct device *device, uint32_t now_us);

/** Whether a reading of the sensor is due, and may be sent. Once a period. */
bool device_wants_sample(struct device *device, uint32_t now_us);

/** Sequence is the device's own; a line that does not fit is left out, counted and numbered. */
void device_send_sample(struct device *device, struct sample sample);
void device_send_axes(struct device *device, struct axes axes);

/** @return false when there is no room: keep the event and come again. */
bool device_send_event(struct device *device, struct event event);

/** An event that could not even be kept: it is left out, counted and numbered. */
void device_lose_event(struct device *device);

/** Sends a status about once a second, as soon as there is room. */
void device_report(struct device *device, struct health health, uint32_t now_us);

/** Whether a line of the host may be handed over: there is room for what it may ask for. */
bool device_can_answer(const struct device *device);

/**
 * A line of the host, without its ending. What is no command is ignored; what is half a command is refused.
 *
 * @param received_us Tick at which its line feed was in.
 */
void device_take_line(struct device *device, const char *line, uint16_t length,
                      uint32_t received_us, uint32_t now_us);

#endif
