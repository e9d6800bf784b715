#include "device.h"

#include <string.h> // strcpy, strncpy

#include "decode.h"
#include "encode.h"

static const uint32_t US_PER_S = 1000000;
/** Once a second, as SPECIFICATION.md asks; it MUST be every two. */
static const uint32_t REPORT_EVERY_US = 1000000;
/** A clock reply waits so long for a pause between lines; then samples wait for it. */
static const uint32_t CLOCK_REPLY_PATIENCE_US = 20000;
static const uint16_t LINE_ENDING_CHARS = 2;
enum { LOWEST_PROTOCOL = 1 };
/** An answer with its hello: 26 and 72 characters at most. */
static const uint16_t ANSWER_ROOM = 98;
/** What samples leave free behind them, so that events and answers go before them. */
static const uint16_t SAMPLE_RESERVE = 110;

static bool say(struct device *device, const struct sentence *sentence, uint16_t reserve) {
  struct line_writer writer;
  const uint8_t length = encode_sentence(sentence, &writer);
  if (length == 0 || device->wire->room() < length + LINE_ENDING_CHARS + reserve) return false;
  device->wire->send(writer.text, length);
  return true;
}

static void say_hello(struct device *device) {
  const struct device_spec *spec = device->spec;
  struct sentence sentence = {.kind = KIND_HELLO};
  struct hello *hello = &sentence.as.hello;
  hello->protocol = device->protocol;
  strncpy(hello->firmware, spec->firmware, TEXT_CHARS_MAX);
  strncpy(hello->board, spec->board, TEXT_CHARS_MAX);
  hello->sensor = spec->sensor;
  hello->counts_per_turn = spec->counts_per_turn;
  hello->rate_hz = device->rate_hz;
  say(device, &sentence, 0);
}

static uint32_t period_us(const struct device *device) { return US_PER_S / device->rate_hz; }

void device_start(struct device *device, const struct device_spec *spec, const struct wire *wire,
                  uint32_t now_us) {
  *device = (struct device){
      .spec = spec, .wire = wire, .rate_hz = spec->rate_hz, .protocol = PROTOCOL_VERSION};
  pace_start(&device->sampling, period_us(device), now_us);
  pace_start(&device->reporting, REPORT_EVERY_US, now_us);
  wire->send("", 0);
  say_hello(device);
}

static void send_clock_reply(struct device *device) {
  struct sentence sentence = {.kind = KIND_CLOCK_REPLY, .as.clock_reply = device->clock_reply};
  struct line_writer writer;
  device->owes_clock_reply = false;
  // The line's sums cover the tick, and the tick is that of its first character: so that goes ahead.
  sentence.as.clock_reply.sent_tick_us = device->wire->begin();
  const uint8_t length = encode_sentence(&sentence, &writer);
  device->wire->send(writer.text + 1, (uint8_t)(length - 1));
}

void device_advance(struct device *device, uint32_t now_us) {
  outputs_advance(&device->outputs, now_us);
  if (device->owes_clock_reply && device->wire->is_idle()) send_clock_reply(device);
}

bool device_wants_sample(struct device *device, uint32_t now_us) {
  const uint32_t waits_us = now_us - device->clock_reply.received_tick_us;
  if (device->owes_clock_reply && waits_us > CLOCK_REPLY_PATIENCE_US) return false;
  return pace_is_due(&device->sampling, now_us);
}

static void leave_out(struct device *device) {
  if (device->overruns < UINT32_MAX) device->overruns++;
}

void device_send_sample(struct device *device, struct sample sample) {
  sample.sequence = device->sequence++;
  const struct sentence sentence = {.kind = KIND_SAMPLE, .as.sample = sample};
  if (!say(device, &sentence, SAMPLE_RESERVE)) leave_out(device);
}

void device_send_axes(struct device *device, struct axes axes) {
  axes.sequence = device->sequence++;
  const struct sentence sentence = {.kind = KIND_AXES, .as.axes = axes};
  if (!say(device, &sentence, SAMPLE_RESERVE)) leave_out(device);
}

bool device_send_event(struct device *device, struct event event) {
  event.sequence = device->sequence;
  const struct sentence sentence = {.kind = KIND_EVENT, .as.event = event};
  if (!say(device, &sentence, 0)) return false;
  device->sequence++;
  return true;
}

void device_lose_event(struct device *device) {
  device->sequence++;
  leave_out(device);
}

void device_report(struct device *device, struct health health, uint32_t now_us) {
  const struct pace before = device->reporting;
  if (!pace_is_due(&device->reporting, now_us)) return;
  struct sentence sentence = {.kind = KIND_STATUS};
  sentence.as.status = (struct status){.tick_us = now_us,
                                       .flags = health.flags,
                                       .supply_mv = health.supply_mv,
                                       .overruns = device->overruns,
                                       .sensor_errors = health.sensor_errors};
  if (!say(device, &sentence, 0)) device->reporting = before;
}

bool device_can_answer(const struct device *device) {
  return !device->owes_clock_reply && device->wire->room() >= ANSWER_ROOM;
}

/** An empty reason means: done. */
static void answer(struct device *device, uint16_t command, const char *reason) {
  struct sentence sentence = {.kind = KIND_ANSWER};
  sentence.as.answer.command = command;
  sentence.as.answer.ok = reason[0] == '\0';
  strcpy(sentence.as.answer.reason, reason);
  say(device, &sentence, 0);
}

static void answer_identify(struct device *device, const struct identify *identify) {
  const uint8_t asked = identify->protocol == 0 ? LOWEST_PROTOCOL : identify->protocol;
  if (asked < LOWEST_PROTOCOL) {
    answer(device, identify->command, "wrong version");
    return;
  }
  device->protocol = asked < PROTOCOL_VERSION ? asked : PROTOCOL_VERSION;
  answer(device, identify->command, "");
  say_hello(device);
}

static void answer_set_rate(struct device *device, const struct set_rate *set_rate,
                            uint32_t now_us) {
  if (set_rate->rate_hz > device->spec->rate_max_hz) {
    answer(device, set_rate->command, "too fast");
    return;
  }
  device->rate_hz = set_rate->rate_hz;
  pace_change(&device->sampling, period_us(device), now_us);
  answer(device, set_rate->command, "");
}

static void answer_set_output(struct device *device, const struct set_output *set_output,
                              uint32_t now_us) {
  if (!(device->spec->outputs & (1U << set_output->output))) {
    answer(device, set_output->command, "not supported");
    return;
  }
  if (set_output->on)
    outputs_switch_on(&device->outputs, set_output->output, set_output->time_to_live_ms, now_us);
  else outputs_switch_off(&device->outputs, set_output->output);
  answer(device, set_output->command, "");
}

/** A sentence of a device is nothing to obey, and gets no answer. */
static void obey(struct device *device, const struct sentence *sentence, uint32_t received_us,
                 uint32_t now_us) {
  switch (sentence->kind) {
    case KIND_IDENTIFY:
      answer_identify(device, &sentence->as.identify);
      break;
    case KIND_SET_RATE:
      answer_set_rate(device, &sentence->as.set_rate, now_us);
      break;
    case KIND_SET_OUTPUT:
      answer_set_output(device, &sentence->as.set_output, now_us);
      break;
    case KIND_HEARTBEAT:
      outputs_renew(&device->outputs, now_us);
      answer(device, sentence->as.heartbeat.command, "");
      break;
    case KIND_CLOCK_QUERY:
      device->owes_clock_reply = true;
      device->clock_reply = (struct clock_reply){.command = sentence->as.clock_query.command,
                                                 .received_tick_us = received_us};
      break;
    default:
      break;
  }
}

void device_take_line(struct device *device, const char *line, uint16_t length,
                      uint32_t received_us, uint32_t now_us) {
  struct sentence sentence;
  uint16_t command;
  const enum refusal refusal = decode_line(line, length, &sentence);
  if (refusal == REFUSED_NOT) obey(device, &sentence, received_us, now_us);
  else if (refusal == REFUSED_BAD_FIELD && refusable_command(line, length, &command))
    answer(device, command, "bad field");
  else if (refusal == REFUSED_WRONG_FIELD_COUNT && refusable_command(line, length, &command))
    answer(device, command, "wrong field count");
}
