/*
 * Feeds random and mutated bytes to the C library, built with the address and undefined-behaviour sanitizers.
 *
 *   fuzz-host SEED LINES < lines of golden sessions
 *
 * Besides what the sanitizers see, it holds the device to its promises: what it says is whole lines that decode;
 * a line that is refused switches nothing; no output outlives its time; the line splitter keeps within its memory.
 */
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "../../../firmware-protocol/library/decode.h"
#include "../../../firmware-protocol/library/device.h"
#include "../../../firmware-protocol/library/encode.h"
#include "../../../firmware-protocol/library/frame.h"
#include "../../../firmware-protocol/library/line-splitter.h"

enum { GOLDEN_MAX = 400, LINE_MAX_BYTES = 320 };

static char golden[GOLDEN_MAX][LINE_MAX_BYTES];
static unsigned int golden_count;
static uint64_t state;

static uint32_t random_below(uint32_t limit) {
  // xorshift64*, Vigna 2016.
  state ^= state >> 12;
  state ^= state << 25;
  state ^= state >> 27;
  return (uint32_t)((state * UINT64_C(2685821657736338717)) >> 33) % limit;
}

static void fail(const char *what, const char *line, size_t length) {
  printf("%s: ", what);
  for (size_t at = 0; at < length; at++) printf("%02x", (uint8_t)line[at]);
  putchar('\n');
  exit(1);
}

/* A wire with 255 bytes of room that drains by chance. */
static uint16_t wire_used;
static uint64_t said;

static uint16_t wire_room(void) { return (uint16_t)(255 - wire_used); }

static void check_said(const char *line, size_t length) {
  struct sentence sentence;
  said++;
  if (length > 0 && decode_line(line, (uint16_t)length, &sentence) != REFUSED_NOT)
    fail("the device said what it would refuse", line, length);
}

static bool has_begun;

static void wire_send(const char *line, uint8_t length) {
  char whole[MAX_LINE_CHARS + 1] = "$";
  if (length + 2 > wire_room()) fail("the device sent more than there was room", line, length);
  wire_used = (uint16_t)(wire_used + length + 2);
  if (!has_begun) {
    check_said(line, length);
    return;
  }
  has_begun = false;
  memcpy(whole + 1, line, length);
  check_said(whole, (size_t)length + 1);
}

static bool wire_is_idle(void) { return wire_used == 0; }

static uint32_t now_us;

static uint32_t wire_begin(void) {
  has_begun = true;
  return now_us;
}

static const struct wire WIRE = {wire_room, wire_send, wire_is_idle, wire_begin};
static const struct device_spec SPEC = {"fuzz", "F-1", SENSOR_ABSOLUTE, 16384, 200, 212, 5};

/** Sums that are right again, so that a mutation comes through to the fields. */
static size_t mend(char *line, size_t length) {
  struct line_writer writer;
  if (length < FIELDS_AT + TAIL_CHARS || length > MAX_LINE_CHARS) return length;
  open_frame(&writer, line[LETTER_AT]);
  for (size_t at = FIELDS_AT; at < length - TAIL_CHARS; at++) put_char(&writer, line[at]);
  const uint8_t mended = close_frame(&writer);
  if (mended == 0) return length;
  memcpy(line, writer.text, mended);
  return mended;
}

static size_t make_line(char *line) {
  size_t length = 0;
  if (random_below(8) == 0) {
    length = random_below(LINE_MAX_BYTES);
    for (size_t at = 0; at < length; at++) line[at] = (char)random_below(256);
    return length;
  }
  const char *seed = golden[random_below(golden_count)];
  length = strlen(seed);
  memcpy(line, seed, length);
  for (uint32_t times = random_below(4); times > 0; times--) {
    const size_t at = random_below((uint32_t)length + 1);
    const char now = (char)(random_below(4) == 0 ? random_below(256) : 32 + random_below(95));
    static const char LIKELY[] = "0123456789,-$*";
    if (random_below(3) == 0 && length < LINE_MAX_BYTES - 1) {
      memmove(line + at + 1, line + at, length - at);
      line[at] = LIKELY[random_below(sizeof LIKELY - 1)];
      length++;
    } else if (random_below(3) == 0 && at < length) {
      memmove(line + at, line + at + 1, length - at - 1);
      length--;
    } else if (at < length) line[at] = now;
  }
  return random_below(2) == 0 ? mend(line, length) : length;
}

static uint64_t taken;

/** One value, one text: what is taken is written again as it was, but for the case of its sums. */
static void check_round_trip(const char *line, size_t length) {
  struct sentence sentence;
  struct line_writer writer;
  // Exactly as large as it is, so that a read beyond its end is seen.
  char *exact = malloc(length > 0 ? length : 1);
  if (exact == NULL) exit(2);
  memcpy(exact, line, length);
  const enum refusal refusal = decode_line(exact, (uint16_t)length, &sentence);
  if (refusal == REFUSED_NOT) {
    taken++;
    const uint8_t written = encode_sentence(&sentence, &writer);
    if (written != length || memcmp(writer.text, exact, length - TAIL_CHARS + 1) != 0)
      fail("taken, but written otherwise", line, length);
  }
  free(exact);
}

static bool outputs_on(const struct device *device, uint8_t output) {
  return device->outputs.each[output].is_on;
}

static void check_device(struct device *device, const char *line, size_t length) {
  static uint32_t may_be_on_until_us[OUTPUTS_COUNT];
  struct sentence sentence;
  const enum refusal refusal = decode_line(line, (uint16_t)length, &sentence);
  const struct outputs before = device->outputs;
  device_take_line(device, line, (uint16_t)length, now_us, now_us);
  for (uint8_t at = 0; at < OUTPUTS_COUNT; at++) {
    const bool was_on = before.each[at].is_on;
    const bool is_set = refusal == REFUSED_NOT && sentence.kind == KIND_SET_OUTPUT &&
                        sentence.as.set_output.output == at && sentence.as.set_output.on;
    const bool is_renewed = refusal == REFUSED_NOT && sentence.kind == KIND_HEARTBEAT && was_on;
    if (outputs_on(device, at) && !was_on && !is_set) fail("switched on", line, length);
    if (is_set) may_be_on_until_us[at] = now_us + 1000U * sentence.as.set_output.time_to_live_ms;
    if (is_renewed)
      may_be_on_until_us[at] = now_us + before.each[at].time_to_live_us;
  }
  now_us += random_below(3000);
  device_advance(device, now_us);
  for (uint8_t at = 0; at < OUTPUTS_COUNT; at++)
    if (outputs_on(device, at) && may_be_on_until_us[at] - now_us - 1 > UINT32_MAX / 2)
      fail("an output outlived its time", line, length);
}

static void live_on(struct device *device) {
  if (random_below(2) == 0) wire_used = (uint16_t)random_below((uint32_t)wire_used + 1);
  if (random_below(4) == 0) wire_used = 0;
  device_advance(device, now_us);
  if (device_wants_sample(device, now_us))
    device_send_sample(device, (struct sample){.tick_us = now_us, .counts = (int32_t)state});
  const struct event event = {.tick_us = now_us, .input = 1, .counts = (int32_t)state};
  if (random_below(50) == 0 && !device_send_event(device, event)) device_lose_event(device);
  device_report(device, (struct health){.flags = 1, .supply_mv = 5000}, now_us);
}

int main(int count, char **words) {
  if (count != 3) return 2;
  state = strtoull(words[1], NULL, 10) * 2 + 1;
  const uint64_t lines = strtoull(words[2], NULL, 10);
  while (golden_count < GOLDEN_MAX && fgets(golden[golden_count], LINE_MAX_BYTES, stdin) != NULL) {
    golden[golden_count][strcspn(golden[golden_count], "\n")] = '\0';
    golden_count++;
  }
  if (golden_count == 0) return 2;
  char *held = malloc(MAX_LINE_CHARS);
  if (held == NULL) return 2;
  struct line_splitter splitter;
  struct device device;
  line_splitter_start(&splitter, held, MAX_LINE_CHARS);
  // Near the wrap of the tick, so that it is passed.
  now_us = UINT32_MAX - 5000000;
  device_start(&device, &SPEC, &WIRE, now_us);
  uint64_t obeyed = 0;
  for (uint64_t made = 0; made < lines; made++) {
    char line[LINE_MAX_BYTES];
    const size_t length = make_line(line);
    check_round_trip(line, length);
    for (size_t at = 0; at <= length; at++) {
      const uint8_t byte = at < length ? (uint8_t)line[at] : (uint8_t)(random_below(2) ? '\r' : '\n');
      const uint16_t found = line_splitter_push(&splitter, byte);
      if (found == 0 || !device_can_answer(&device)) continue;
      check_device(&device, held, found);
      obeyed++;
    }
    live_on(&device);
  }
  printf("%" PRIu64 " lines, %" PRIu64 " taken, %" PRIu64 " to the device, %" PRIu64 " said, %" PRIu32
         " left out\n", lines, taken, obeyed, said, device.overruns);
  free(held);
  return 0;
}
