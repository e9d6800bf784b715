#include "decode.h"

#include "field.h"
#include "frame.h"
#include "words.h"

/** Walks the fields of a line whose frame is whole. */
struct cursor {
  const char *line;
  uint8_t at;
  /** Of the comma before the CRC. */
  uint8_t end;
};

static struct field take(struct cursor *cursor) {
  const uint8_t from = (uint8_t)(cursor->at + 1);
  uint8_t to = from;
  while (to < cursor->end && cursor->line[to] != ',') to++;
  cursor->at = to;
  return (struct field){cursor->line + from, (uint8_t)(to - from)};
}

static bool take_u32(struct cursor *cursor, uint32_t min, uint32_t max, uint32_t *value) {
  return read_unsigned(take(cursor), min, max, value);
}

static bool take_u16(struct cursor *cursor, uint16_t min, uint16_t max, uint16_t *value) {
  uint32_t wide;
  if (!take_u32(cursor, min, max, &wide)) return false;
  *value = (uint16_t)wide;
  return true;
}

static bool take_u8(struct cursor *cursor, uint8_t min, uint8_t max, uint8_t *value) {
  uint16_t wide;
  if (!take_u16(cursor, min, max, &wide)) return false;
  *value = (uint8_t)wide;
  return true;
}

static bool take_tick(struct cursor *cursor, uint32_t *tick_us) {
  return take_u32(cursor, 0, UINT32_MAX, tick_us);
}

static bool take_number(struct cursor *cursor, uint16_t *number) {
  return take_u16(cursor, 0, UINT16_MAX, number);
}

static bool take_counts(struct cursor *cursor, int32_t *counts) {
  return read_signed(take(cursor), INT32_MIN, INT32_MAX, counts);
}

static bool take_axis(struct cursor *cursor, int16_t *axis) {
  int32_t wide;
  if (!read_signed(take(cursor), INT16_MIN, INT16_MAX, &wide)) return false;
  *axis = (int16_t)wide;
  return true;
}

static bool take_choice(struct cursor *cursor, const char *words, int8_t *number) {
  *number = read_choice(take(cursor), words);
  return *number >= 0;
}

static bool read_hello(struct cursor *cursor, struct hello *hello) {
  int8_t sensor = 0;
  const bool fits = take_u8(cursor, 1, 99, &hello->protocol) &&
                    read_text(take(cursor), 1, TEXT_CHARS_MAX, hello->firmware) &&
                    read_text(take(cursor), 1, TEXT_CHARS_MAX, hello->board) &&
                    take_choice(cursor, WORDS_SENSOR, &sensor) &&
                    take_u32(cursor, 1, INT32_MAX, &hello->counts_per_turn) &&
                    take_u16(cursor, 1, RATE_MAX_HZ, &hello->rate_hz);
  hello->sensor = (enum sensor_kind)sensor;
  return fits;
}

static bool read_sample(struct cursor *cursor, struct sample *sample) {
  if (!(take_number(cursor, &sample->sequence) && take_tick(cursor, &sample->tick_us) &&
        take_counts(cursor, &sample->counts) && take_u8(cursor, 0, UINT8_MAX, &sample->flags)))
    return false;
  const struct field second = take(cursor);
  sample->second = 0;
  sample->has_second = second.length > 0;
  return !sample->has_second || read_signed(second, INT32_MIN, INT32_MAX, &sample->second);
}

static bool read_axes(struct cursor *cursor, struct axes *axes) {
  return take_number(cursor, &axes->sequence) && take_tick(cursor, &axes->tick_us) &&
         take_axis(cursor, &axes->x) && take_axis(cursor, &axes->y) &&
         take_axis(cursor, &axes->z) && take_u8(cursor, 0, UINT8_MAX, &axes->flags);
}

static bool read_status(struct cursor *cursor, struct status *status) {
  return take_tick(cursor, &status->tick_us) && take_u8(cursor, 0, UINT8_MAX, &status->flags) &&
         take_number(cursor, &status->supply_mv) &&
         take_u32(cursor, 0, UINT32_MAX, &status->overruns) &&
         take_u32(cursor, 0, UINT32_MAX, &status->sensor_errors);
}

static bool read_event(struct cursor *cursor, struct event *event) {
  int8_t edge = 0;
  const bool fits = take_number(cursor, &event->sequence) && take_tick(cursor, &event->tick_us) &&
                    take_u8(cursor, 1, 9, &event->input) &&
                    take_choice(cursor, WORDS_EDGE, &edge) && take_counts(cursor, &event->counts);
  event->edge = (enum edge)edge;
  return fits;
}

static bool read_answer(struct cursor *cursor, struct answer *answer) {
  int8_t ok = 0;
  const bool fits = take_number(cursor, &answer->command) && take_choice(cursor, WORDS_OK, &ok) &&
                    read_text(take(cursor), 0, REASON_CHARS_MAX, answer->reason);
  answer->ok = ok == 1;
  return fits && answer->ok == (answer->reason[0] == '\0');
}

static bool read_clock_reply(struct cursor *cursor, struct clock_reply *reply) {
  return take_number(cursor, &reply->command) && take_tick(cursor, &reply->received_tick_us) &&
         take_tick(cursor, &reply->sent_tick_us);
}

static bool read_identify(struct cursor *cursor, struct identify *identify) {
  if (!take_number(cursor, &identify->command)) return false;
  const struct field protocol = take(cursor);
  uint32_t version = 0;
  if (protocol.length > 0 && !read_unsigned(protocol, 1, 99, &version)) return false;
  identify->protocol = (uint8_t)version;
  return true;
}

static bool read_set_rate(struct cursor *cursor, struct set_rate *set_rate) {
  return take_number(cursor, &set_rate->command) &&
         take_u16(cursor, 1, RATE_MAX_HZ, &set_rate->rate_hz);
}

static bool read_set_output(struct cursor *cursor, struct set_output *set_output) {
  int8_t output = 0;
  int8_t on = 0;
  const bool fits = take_number(cursor, &set_output->command) &&
                    take_choice(cursor, WORDS_OUTPUT, &output) &&
                    take_choice(cursor, WORDS_ON, &on) &&
                    take_u16(cursor, 1, TIME_TO_LIVE_MAX_MS, &set_output->time_to_live_ms);
  set_output->output = (enum output)output;
  set_output->on = on == 1;
  return fits;
}

/** @return How many fields a sentence of this letter has; 0 when there is none. */
static uint8_t fields_of(char letter) {
  switch (letter) {
    case KIND_HELLO:
    case KIND_AXES:
      return 6;
    case KIND_SAMPLE:
    case KIND_STATUS:
    case KIND_EVENT:
      return 5;
    case KIND_SET_OUTPUT:
      return 4;
    case KIND_ANSWER:
    case KIND_CLOCK_REPLY:
      return 3;
    case KIND_IDENTIFY:
    case KIND_SET_RATE:
      return 2;
    case KIND_HEARTBEAT:
    case KIND_CLOCK_QUERY:
      return 1;
    default:
      return 0;
  }
}

static bool read_fields(struct cursor *cursor, struct sentence *sentence) {
  switch (sentence->kind) {
    case KIND_HELLO:
      return read_hello(cursor, &sentence->as.hello);
    case KIND_SAMPLE:
      return read_sample(cursor, &sentence->as.sample);
    case KIND_AXES:
      return read_axes(cursor, &sentence->as.axes);
    case KIND_STATUS:
      return read_status(cursor, &sentence->as.status);
    case KIND_EVENT:
      return read_event(cursor, &sentence->as.event);
    case KIND_ANSWER:
      return read_answer(cursor, &sentence->as.answer);
    case KIND_CLOCK_REPLY:
      return read_clock_reply(cursor, &sentence->as.clock_reply);
    case KIND_IDENTIFY:
      return read_identify(cursor, &sentence->as.identify);
    case KIND_SET_RATE:
      return read_set_rate(cursor, &sentence->as.set_rate);
    case KIND_SET_OUTPUT:
      return read_set_output(cursor, &sentence->as.set_output);
    case KIND_HEARTBEAT:
      return take_number(cursor, &sentence->as.heartbeat.command);
    case KIND_CLOCK_QUERY:
      return take_number(cursor, &sentence->as.clock_query.command);
  }
  return false;
}

enum refusal decode_line(const char *line, uint16_t length, struct sentence *sentence) {
  const enum refusal refusal = refuse_frame(line, length);
  if (refusal != REFUSED_NOT) return refusal;
  const char letter = line[LETTER_AT];
  const uint8_t wanted = fields_of(letter);
  if (wanted == 0 || line[FIELDS_AT] != ',') return REFUSED_UNKNOWN_SENTENCE;
  struct cursor cursor = {line, FIELDS_AT, (uint8_t)(length - TAIL_CHARS)};
  uint8_t fields = 0;
  for (uint8_t at = FIELDS_AT; at < cursor.end; at++)
    if (line[at] == ',') fields++;
  if (fields != wanted) return REFUSED_WRONG_FIELD_COUNT;
  sentence->kind = (enum sentence_kind)letter;
  return read_fields(&cursor, sentence) ? REFUSED_NOT : REFUSED_BAD_FIELD;
}

static bool is_command(char letter) {
  return letter == KIND_IDENTIFY || letter == KIND_SET_RATE || letter == KIND_SET_OUTPUT ||
         letter == KIND_HEARTBEAT || letter == KIND_CLOCK_QUERY;
}

bool refusable_command(const char *line, uint16_t length, uint16_t *command) {
  if (refuse_frame(line, length) != REFUSED_NOT) return false;
  if (!is_command(line[LETTER_AT]) || line[FIELDS_AT] != ',') return false;
  struct cursor cursor = {line, FIELDS_AT, (uint8_t)(length - TAIL_CHARS)};
  return cursor.end > FIELDS_AT && take_number(&cursor, command);
}
