#ifndef OVERBEND_SENTENCE_H
#define OVERBEND_SENTENCE_H

#include <stdbool.h>
#include <stdint.h>

/*
 * The sentences of the native line protocol, as values. SPECIFICATION.md is normative; this is its shape in
 * C, with the names of the TypeScript codec. Counts, ticks and sequence numbers are integers as sent.
 */

enum { TEXT_CHARS_MAX = 16, REASON_CHARS_MAX = 32, TIME_TO_LIVE_MAX_MS = 2000, RATE_MAX_HZ = 1000 };

/** A kind is its letter on the wire. */
enum sentence_kind {
  KIND_HELLO = 'H',
  KIND_SAMPLE = 'S',
  KIND_AXES = 'X',
  KIND_STATUS = 'T',
  KIND_EVENT = 'E',
  KIND_ANSWER = 'A',
  KIND_CLOCK_REPLY = 'R',
  KIND_IDENTIFY = 'I',
  KIND_SET_RATE = 'F',
  KIND_SET_OUTPUT = 'O',
  KIND_HEARTBEAT = 'B',
  KIND_CLOCK_QUERY = 'Q'
};

enum sensor_kind { SENSOR_INCREMENTAL, SENSOR_ABSOLUTE, SENSOR_ACCELEROMETER };
enum edge { EDGE_DOWN, EDGE_UP };
enum output { OUTPUT_BUZZER, OUTPUT_LAMP, OUTPUT_RELAY };

/** Bits of `flags`. */
enum { FLAG_SENSOR_FAULT = 1, FLAG_MAGNET_WEAK = 2, FLAG_SUPPLY_LOW = 4, FLAG_SIMULATED = 8 };

/** Device to host: who I am. */
struct hello {
  /** 1 to 99. */
  uint8_t protocol;
  /** 1 to 16 letters, digits, spaces, `.`, `-`, `_`. */
  char firmware[TEXT_CHARS_MAX + 1];
  /** Serial number, 1 to 16 of the same characters. */
  char board[TEXT_CHARS_MAX + 1];
  enum sensor_kind sensor;
  /** 1 to 2147483647: counts a turn of the shaft, or counts a g. */
  uint32_t counts_per_turn;
  /** 1 to 1000. */
  uint16_t rate_hz;
};

/** Device to host: one reading of the angle sensor. */
struct sample {
  uint16_t sequence;
  uint32_t tick_us;
  int32_t counts;
  uint8_t flags;
  bool has_second;
  /** In its own counts; without meaning unless `has_second`. */
  int32_t second;
};

/** Device to host: three axes in counts. */
struct axes {
  uint16_t sequence;
  uint32_t tick_us;
  int16_t x, y, z;
  uint8_t flags;
};

/** Device to host: how I am. */
struct status {
  uint32_t tick_us;
  uint8_t flags;
  uint16_t supply_mv;
  uint32_t overruns;
  uint32_t sensor_errors;
};

/** Device to host: a pedal or button; tick and counts are those of the edge. */
struct event {
  uint16_t sequence;
  uint32_t tick_us;
  /** 1 to 9; 1 is the pedal. */
  uint8_t input;
  enum edge edge;
  int32_t counts;
};

/** Device to host: what became of a command. */
struct answer {
  uint16_t command;
  bool ok;
  /** Empty when, and only when, `ok`. */
  char reason[REASON_CHARS_MAX + 1];
};

/** Device to host: reply to a clock query. */
struct clock_reply {
  uint16_t command;
  uint32_t received_tick_us;
  uint32_t sent_tick_us;
};

/** Host to device: say hello. */
struct identify {
  uint16_t command;
  /** 1 to 99; 0 stands for an empty field. */
  uint8_t protocol;
};

/** Host to device. */
struct set_rate {
  uint16_t command;
  /** 1 to 1000. */
  uint16_t rate_hz;
};

/** Host to device. */
struct set_output {
  uint16_t command;
  enum output output;
  bool on;
  /** 1 to 2000. */
  uint16_t time_to_live_ms;
};

/** Host to device: heartbeat or clock query, which have nothing but their number. */
struct bare_command {
  uint16_t command;
};

struct sentence {
  enum sentence_kind kind;
  union {
    struct hello hello;
    struct sample sample;
    struct axes axes;
    struct status status;
    struct event event;
    struct answer answer;
    struct clock_reply clock_reply;
    struct identify identify;
    struct set_rate set_rate;
    struct set_output set_output;
    struct bare_command heartbeat;
    struct bare_command clock_query;
  } as;
};

/** Why a line is not taken, in the order of SPECIFICATION.md. */
enum refusal {
  REFUSED_NOT,
  REFUSED_EMPTY,
  REFUSED_OVERLONG,
  REFUSED_NOT_PRINTABLE,
  REFUSED_NO_START,
  REFUSED_NO_CHECKSUM,
  REFUSED_BAD_CHECKSUM,
  REFUSED_UNKNOWN_SENTENCE,
  REFUSED_BAD_CRC,
  REFUSED_WRONG_FIELD_COUNT,
  REFUSED_BAD_FIELD
};

#endif
