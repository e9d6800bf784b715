#include "encode.h"

#include "field.h"
#include "words.h"

static void put_between(struct line_writer *writer, uint32_t value, uint32_t min, uint32_t max) {
  if (!(value >= min && value <= max)) writer->fits = false;
  put_unsigned(writer, value);
}

static void write_hello(struct line_writer *writer, const struct hello *hello) {
  put_between(writer, hello->protocol, 1, 99);
  put_text(writer, hello->firmware, 1, TEXT_CHARS_MAX);
  put_text(writer, hello->board, 1, TEXT_CHARS_MAX);
  put_choice(writer, WORDS_SENSOR, (uint8_t)hello->sensor);
  put_between(writer, hello->counts_per_turn, 1, INT32_MAX);
  put_between(writer, hello->rate_hz, 1, RATE_MAX_HZ);
}

static void write_sample(struct line_writer *writer, const struct sample *sample) {
  put_unsigned(writer, sample->sequence);
  put_unsigned(writer, sample->tick_us);
  put_signed(writer, sample->counts);
  put_unsigned(writer, sample->flags);
  if (sample->has_second) put_signed(writer, sample->second);
  else put_nothing(writer);
}

static void write_axes(struct line_writer *writer, const struct axes *axes) {
  put_unsigned(writer, axes->sequence);
  put_unsigned(writer, axes->tick_us);
  put_signed(writer, axes->x);
  put_signed(writer, axes->y);
  put_signed(writer, axes->z);
  put_unsigned(writer, axes->flags);
}

static void write_status(struct line_writer *writer, const struct status *status) {
  put_unsigned(writer, status->tick_us);
  put_unsigned(writer, status->flags);
  put_unsigned(writer, status->supply_mv);
  put_unsigned(writer, status->overruns);
  put_unsigned(writer, status->sensor_errors);
}

static void write_event(struct line_writer *writer, const struct event *event) {
  put_unsigned(writer, event->sequence);
  put_unsigned(writer, event->tick_us);
  put_between(writer, event->input, 1, 9);
  put_choice(writer, WORDS_EDGE, (uint8_t)event->edge);
  put_signed(writer, event->counts);
}

static void write_answer(struct line_writer *writer, const struct answer *answer) {
  if (answer->ok != (answer->reason[0] == '\0')) writer->fits = false;
  put_unsigned(writer, answer->command);
  put_choice(writer, WORDS_OK, answer->ok);
  put_text(writer, answer->reason, 0, REASON_CHARS_MAX);
}

static void write_clock_reply(struct line_writer *writer, const struct clock_reply *reply) {
  put_unsigned(writer, reply->command);
  put_unsigned(writer, reply->received_tick_us);
  put_unsigned(writer, reply->sent_tick_us);
}

static void write_identify(struct line_writer *writer, const struct identify *identify) {
  put_unsigned(writer, identify->command);
  if (identify->protocol == 0) put_nothing(writer);
  else put_between(writer, identify->protocol, 1, 99);
}

static void write_set_output(struct line_writer *writer, const struct set_output *set_output) {
  put_unsigned(writer, set_output->command);
  put_choice(writer, WORDS_OUTPUT, (uint8_t)set_output->output);
  put_choice(writer, WORDS_ON, set_output->on);
  put_between(writer, set_output->time_to_live_ms, 1, TIME_TO_LIVE_MAX_MS);
}

static bool write_fields(struct line_writer *writer, const struct sentence *sentence) {
  switch (sentence->kind) {
    case KIND_HELLO:
      write_hello(writer, &sentence->as.hello);
      return true;
    case KIND_SAMPLE:
      write_sample(writer, &sentence->as.sample);
      return true;
    case KIND_AXES:
      write_axes(writer, &sentence->as.axes);
      return true;
    case KIND_STATUS:
      write_status(writer, &sentence->as.status);
      return true;
    case KIND_EVENT:
      write_event(writer, &sentence->as.event);
      return true;
    case KIND_ANSWER:
      write_answer(writer, &sentence->as.answer);
      return true;
    case KIND_CLOCK_REPLY:
      write_clock_reply(writer, &sentence->as.clock_reply);
      return true;
    case KIND_IDENTIFY:
      write_identify(writer, &sentence->as.identify);
      return true;
    case KIND_SET_RATE:
      put_unsigned(writer, sentence->as.set_rate.command);
      put_between(writer, sentence->as.set_rate.rate_hz, 1, RATE_MAX_HZ);
      return true;
    case KIND_SET_OUTPUT:
      write_set_output(writer, &sentence->as.set_output);
      return true;
    case KIND_HEARTBEAT:
      put_unsigned(writer, sentence->as.heartbeat.command);
      return true;
    case KIND_CLOCK_QUERY:
      put_unsigned(writer, sentence->as.clock_query.command);
      return true;
  }
  return false;
}

uint8_t encode_sentence(const struct sentence *sentence, struct line_writer *writer) {
  open_frame(writer, (char)sentence->kind);
  return write_fields(writer, sentence) ? close_frame(writer) : 0;
}
