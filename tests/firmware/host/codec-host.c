/*
 * The C codec as a program, for a test to hold against the TypeScript codec line by line.
 *
 *   codec-host decode   a line in hexadecimal        the sentence as JSON and the line again, or the reason
 *   codec-host encode   letter and fields, by tabs   the line, or "misfit"
 *   codec-host split    a stream in hexadecimal      the lines found, in hexadecimal, and how many were overlong
 */
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "../../../firmware-protocol/library/decode.h"
#include "../../../firmware-protocol/library/encode.h"
#include "../../../firmware-protocol/library/line-splitter.h"

enum { INPUT_MAX = 65536, FIELDS_MAX = 6, SPLITTER_BYTES = 256 };

static const char *const REASONS[] = {
    "",           "empty",       "overlong",         "not printable", "no start",
    "no checksum", "bad checksum", "unknown sentence", "bad crc",       "wrong field count",
    "bad field"};
static const char *const SENSORS[] = {"incremental", "absolute", "accelerometer"};
static const char *const EDGES[] = {"down", "up"};
static const char *const OUTPUTS[] = {"buzzer", "lamp", "relay"};

static size_t bytes_of_hex(const char *hex, uint8_t *bytes) {
  size_t length = 0;
  for (unsigned int byte; sscanf(hex + 2 * length, "%2x", &byte) == 1; length++)
    bytes[length] = (uint8_t)byte;
  return length;
}

static void print_device_sentence(const struct sentence *s) {
  switch (s->kind) {
    case KIND_HELLO:
      printf("{\"kind\":\"hello\",\"protocol\":%u,\"firmware\":\"%s\",\"board\":\"%s\","
             "\"sensor\":\"%s\",\"countsPerTurn\":%" PRIu32 ",\"rateHz\":%u}",
             s->as.hello.protocol, s->as.hello.firmware, s->as.hello.board,
             SENSORS[s->as.hello.sensor], s->as.hello.counts_per_turn, s->as.hello.rate_hz);
      break;
    case KIND_SAMPLE:
      printf("{\"kind\":\"sample\",\"sequence\":%u,\"tickUs\":%" PRIu32 ",\"counts\":%" PRId32
             ",\"flags\":%u,\"second\":",
             s->as.sample.sequence, s->as.sample.tick_us, s->as.sample.counts, s->as.sample.flags);
      if (s->as.sample.has_second) printf("%" PRId32 "}", s->as.sample.second);
      else printf("null}");
      break;
    case KIND_AXES:
      printf("{\"kind\":\"axes\",\"sequence\":%u,\"tickUs\":%" PRIu32
             ",\"x\":%d,\"y\":%d,\"z\":%d,\"flags\":%u}",
             s->as.axes.sequence, s->as.axes.tick_us, s->as.axes.x, s->as.axes.y, s->as.axes.z,
             s->as.axes.flags);
      break;
    case KIND_STATUS:
      printf("{\"kind\":\"status\",\"tickUs\":%" PRIu32
             ",\"flags\":%u,\"supplyMv\":%u,\"overruns\":%" PRIu32 ",\"sensorErrors\":%" PRIu32 "}",
             s->as.status.tick_us, s->as.status.flags, s->as.status.supply_mv,
             s->as.status.overruns, s->as.status.sensor_errors);
      break;
    case KIND_EVENT:
      printf("{\"kind\":\"event\",\"sequence\":%u,\"tickUs\":%" PRIu32
             ",\"input\":%u,\"edge\":\"%s\",\"counts\":%" PRId32 "}",
             s->as.event.sequence, s->as.event.tick_us, s->as.event.input, EDGES[s->as.event.edge],
             s->as.event.counts);
      break;
    case KIND_ANSWER:
      printf("{\"kind\":\"answer\",\"command\":%u,\"ok\":%s,\"reason\":\"%s\"}",
             s->as.answer.command, s->as.answer.ok ? "true" : "false", s->as.answer.reason);
      break;
    default:
      printf("{\"kind\":\"clock-reply\",\"command\":%u,\"receivedTickUs\":%" PRIu32
             ",\"sentTickUs\":%" PRIu32 "}",
             s->as.clock_reply.command, s->as.clock_reply.received_tick_us,
             s->as.clock_reply.sent_tick_us);
  }
}

static void print_sentence(const struct sentence *s) {
  switch (s->kind) {
    case KIND_IDENTIFY:
      printf("{\"kind\":\"identify\",\"command\":%u", s->as.identify.command);
      if (s->as.identify.protocol > 0) printf(",\"protocol\":%u", s->as.identify.protocol);
      printf("}");
      break;
    case KIND_SET_RATE:
      printf("{\"kind\":\"set-rate\",\"command\":%u,\"rateHz\":%u}", s->as.set_rate.command,
             s->as.set_rate.rate_hz);
      break;
    case KIND_SET_OUTPUT:
      printf("{\"kind\":\"set-output\",\"command\":%u,\"output\":\"%s\",\"on\":%s,"
             "\"timeToLiveMs\":%u}",
             s->as.set_output.command, OUTPUTS[s->as.set_output.output],
             s->as.set_output.on ? "true" : "false", s->as.set_output.time_to_live_ms);
      break;
    case KIND_HEARTBEAT:
      printf("{\"kind\":\"heartbeat\",\"command\":%u}", s->as.heartbeat.command);
      break;
    case KIND_CLOCK_QUERY:
      printf("{\"kind\":\"clock-query\",\"command\":%u}", s->as.clock_query.command);
      break;
    default:
      print_device_sentence(s);
  }
}

static void print_line(const struct sentence *sentence) {
  struct line_writer writer;
  const uint8_t length = encode_sentence(sentence, &writer);
  if (length == 0) puts("misfit");
  else printf("%.*s\n", length, writer.text);
}

static void decode(const char *input) {
  static uint8_t bytes[INPUT_MAX];
  struct sentence sentence;
  const size_t length = bytes_of_hex(input, bytes);
  const enum refusal refusal = decode_line((const char *)bytes, (uint16_t)length, &sentence);
  if (refusal != REFUSED_NOT) {
    printf("%s\n", REASONS[refusal]);
    return;
  }
  print_sentence(&sentence);
  putchar('\t');
  print_line(&sentence);
}

static uint32_t u32(const char *text) { return (uint32_t)strtoul(text, NULL, 10); }
static int32_t i32(const char *text) { return (int32_t)strtol(text, NULL, 10); }
static uint16_t u16(const char *text) { return (uint16_t)u32(text); }
static uint8_t u8(const char *text) { return (uint8_t)u32(text); }

/** Values as they are given: only the encoder judges them. Texts are cut at their room and one more. */
static struct sentence sentence_of(char letter, char *const *f) {
  struct sentence s = {.kind = (enum sentence_kind)letter};
  const uint16_t command = u16(f[0]);
  switch (s.kind) {
    case KIND_HELLO:
      s.as.hello = (struct hello){.protocol = u8(f[0]), .sensor = (enum sensor_kind)u8(f[3]),
                                  .counts_per_turn = u32(f[4]), .rate_hz = u16(f[5])};
      snprintf(s.as.hello.firmware, sizeof s.as.hello.firmware, "%s", f[1]);
      snprintf(s.as.hello.board, sizeof s.as.hello.board, "%s", f[2]);
      break;
    case KIND_SAMPLE:
      s.as.sample = (struct sample){command, u32(f[1]), i32(f[2]), u8(f[3]), f[4][0] != '\0', i32(f[4])};
      break;
    case KIND_AXES:
      s.as.axes = (struct axes){command, u32(f[1]), (int16_t)i32(f[2]), (int16_t)i32(f[3]),
                                (int16_t)i32(f[4]), u8(f[5])};
      break;
    case KIND_STATUS:
      s.as.status = (struct status){u32(f[0]), u8(f[1]), u16(f[2]), u32(f[3]), u32(f[4])};
      break;
    case KIND_EVENT:
      s.as.event = (struct event){command, u32(f[1]), u8(f[2]), (enum edge)u8(f[3]), i32(f[4])};
      break;
    case KIND_ANSWER:
      s.as.answer = (struct answer){.command = command, .ok = u8(f[1]) == 1};
      snprintf(s.as.answer.reason, sizeof s.as.answer.reason, "%s", f[2]);
      break;
    case KIND_CLOCK_REPLY:
      s.as.clock_reply = (struct clock_reply){command, u32(f[1]), u32(f[2])};
      break;
    case KIND_IDENTIFY:
      s.as.identify = (struct identify){command, u8(f[1])};
      break;
    case KIND_SET_RATE:
      s.as.set_rate = (struct set_rate){command, u16(f[1])};
      break;
    case KIND_SET_OUTPUT:
      s.as.set_output =
          (struct set_output){command, (enum output)u8(f[1]), u8(f[2]) == 1, u16(f[3])};
      break;
    default:
      s.as.heartbeat.command = command;
  }
  return s;
}

static void encode(char *input) {
  char nothing[] = "";
  char *fields[FIELDS_MAX] = {nothing, nothing, nothing, nothing, nothing, nothing};
  const char letter = input[0];
  char *at = input;
  for (int field = 0; field < FIELDS_MAX && (at = strchr(at, '\t')) != NULL; field++) {
    *at++ = '\0';
    fields[field] = at;
  }
  const struct sentence sentence = sentence_of(letter, fields);
  print_line(&sentence);
}

static void split(const char *input) {
  static uint8_t bytes[INPUT_MAX];
  static char held[SPLITTER_BYTES];
  struct line_splitter splitter;
  line_splitter_start(&splitter, held, sizeof held);
  const size_t length = bytes_of_hex(input, bytes);
  for (size_t at = 0; at < length; at++) {
    const uint16_t line_length = line_splitter_push(&splitter, bytes[at]);
    for (uint16_t c = 0; c < line_length; c++) printf("%02x", (uint8_t)held[c]);
    if (line_length > 0) putchar(' ');
  }
  printf("overlong %" PRIu32 "\n", splitter.overlong);
}

int main(int count, char **words) {
  static char input[2 * INPUT_MAX];
  const char *mode = count == 2 ? words[1] : "";
  while (fgets(input, sizeof input, stdin) != NULL) {
    input[strcspn(input, "\n")] = '\0';
    if (strcmp(mode, "decode") == 0) decode(input);
    else if (strcmp(mode, "encode") == 0) encode(input);
    else if (strcmp(mode, "split") == 0) split(input);
    else return 2;
  }
  return 0;
}
