/*
 * The other parts of the C library as a program: each line of standard input is one case, and gives one line.
 *
 *   parts-host quadrature   levels, one digit 0 to 3 each              counts illegal
 *   parts-host spi          angle word, diagnostics word               reading angle words sent
 *   parts-host i2c14|i2c12  high low status answers                    reading angle
 *   parts-host high|low     identity, answers, six bytes               started reading x y z
 *   parts-host debounce     time:level ...                             edges told
 *   parts-host outputs      time:what:ttl ...                          what was on, after each
 *   parts-host pace         period, then times                         which were due
 */
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "../../../firmware-protocol/library/absolute-i2c.h"
#include "../../../firmware-protocol/library/absolute-spi.h"
#include "../../../firmware-protocol/library/accelerometer.h"
#include "../../../firmware-protocol/library/debounce.h"
#include "../../../firmware-protocol/library/outputs.h"
#include "../../../firmware-protocol/library/pace.h"
#include "../../../firmware-protocol/library/quadrature.h"

static const char *const READINGS[] = {"good", "weak", "failed"};

static void quadrature(char *input) {
  struct quadrature encoder;
  quadrature_start(&encoder, (uint8_t)(input[0] - '0'));
  for (char *at = input + 1; *at != '\0'; at++) quadrature_move(&encoder, (uint8_t)(*at - '0'));
  printf("%" PRId32 " %" PRIu32 "\n", (int32_t)encoder.counts, encoder.illegal);
}

/* A sensor that gives the register that the word before has asked for. */
static uint16_t spi_angle, spi_diagnostics, spi_asked;

static uint16_t spi_exchange(uint16_t word) {
  const uint16_t asked = spi_asked & 0x3FFF;
  spi_asked = word;
  printf("%04x ", word);
  if (asked == 0x3FFF) return spi_angle;
  return asked == 0x3FFD ? spi_diagnostics : 0;
}

static void spi(char *input) {
  const struct spi_bus bus = {.exchange = spi_exchange};
  unsigned int angle_word, diagnostics_word;
  uint16_t angle = 0xFFFF;
  if (sscanf(input, "%x %x", &angle_word, &diagnostics_word) != 2) exit(2);
  spi_angle = (uint16_t)angle_word;
  spi_diagnostics = (uint16_t)diagnostics_word;
  spi_asked = 0;
  const enum reading reading = absolute_spi_read(&ABSOLUTE_SPI_14, &bus, &angle);
  printf("%s %u\n", READINGS[reading], angle);
}

/* A sensor of 256 registers that goes on by itself; it stops answering after so many calls. */
static uint8_t registers[256];
static uint8_t i2c_address;
static int answers_left;

static bool i2c_answers(uint8_t address) { return address == i2c_address && answers_left-- > 0; }

static bool i2c_read(uint8_t address, uint8_t from, uint8_t *bytes, uint8_t length) {
  if (!i2c_answers(address)) return false;
  for (uint8_t at = 0; at < length; at++) bytes[at] = registers[(from + at) & 0xFF];
  return true;
}

static bool i2c_write(uint8_t address, uint8_t at, uint8_t byte) {
  if (!i2c_answers(address)) return false;
  registers[at] = byte;
  return true;
}

static const struct i2c_bus I2C = {.read = i2c_read, .write = i2c_write};

static void absolute_i2c(const struct absolute_i2c_layout *layout, char *input) {
  unsigned int high, low, status;
  uint16_t angle = 0xFFFF;
  if (sscanf(input, "%x %x %x %d", &high, &low, &status, &answers_left) != 4) exit(2);
  i2c_address = layout->address;
  registers[layout->angle_register] = (uint8_t)high;
  registers[(layout->angle_register + 1) & 0xFF] = (uint8_t)low;
  registers[layout->status_register] = (uint8_t)status;
  const enum reading reading = absolute_i2c_read(layout, &I2C, &angle);
  printf("%s %u\n", READINGS[reading], angle);
}

static void accelerometer(const struct accelerometer_layout *layout, char *input) {
  unsigned int identity, b[6];
  struct acceleration axes = {1, 2, 3};
  if (sscanf(input, "%x %d %x %x %x %x %x %x", &identity, &answers_left, b, b + 1, b + 2, b + 3,
             b + 4, b + 5) != 8)
    exit(2);
  i2c_address = layout->address;
  memset(registers, 0, sizeof registers);
  registers[layout->identity_register] = (uint8_t)identity;
  for (int at = 0; at < 6; at++) registers[layout->axes_register + at] = (uint8_t)b[at];
  const bool started = accelerometer_start(layout, &I2C);
  const enum reading reading = accelerometer_read(layout, &I2C, &axes);
  bool is_set_up = true;
  for (uint8_t at = 0; at < layout->set_up_count; at++)
    if (registers[layout->set_up[at].at] != layout->set_up[at].byte) is_set_up = false;
  printf("%s %s %s %d %d %d\n", started ? "started" : "absent", is_set_up ? "set-up" : "as-it-was",
         READINGS[reading], axes.x, axes.y, axes.z);
}

/** The times are those of edges, or of looks where the level is as before. Counts are the time in ms. */
static void debounce(char *input) {
  struct debounce contact;
  bool level = false;
  debounce_start(&contact, false);
  for (char *word = strtok(input, " "); word != NULL; word = strtok(NULL, " ")) {
    uint32_t now_us;
    int now_level;
    if (sscanf(word, "%" SCNu32 ":%d", &now_us, &now_level) != 2) exit(2);
    if ((now_level == 1) != level) debounce_edge(&contact, now_us, (int32_t)(now_us / 1000));
    level = now_level == 1;
    if (debounce_settle(&contact, now_us, level))
      printf("%s@%" PRIu32 "=%" PRId32 " ", contact.is_pressed ? "down" : "up",
             contact.first_edge_us, contact.counts);
  }
  putchar('\n');
}

static void outputs(char *input) {
  struct outputs all = {0};
  for (char *word = strtok(input, " "); word != NULL; word = strtok(NULL, " ")) {
    uint32_t now_us;
    unsigned int ttl_ms;
    char what;
    if (sscanf(word, "%" SCNu32 ":%c:%u", &now_us, &what, &ttl_ms) != 3) exit(2);
    outputs_advance(&all, now_us);
    if (what == 'h') outputs_renew(&all, now_us);
    else if (what >= '0' && what <= '2')
      outputs_switch_on(&all, (enum output)(what - '0'), (uint16_t)ttl_ms, now_us);
    else if (what >= 'a' && what <= 'c') outputs_switch_off(&all, (enum output)(what - 'a'));
    printf("%d%d%d ", all.each[0].is_on, all.each[1].is_on, all.each[2].is_on);
  }
  putchar('\n');
}

static void pace(char *input) {
  struct pace steps;
  char *word = strtok(input, " ");
  pace_start(&steps, (uint32_t)strtoul(word, NULL, 10), (uint32_t)strtoul(strtok(NULL, " "), NULL, 10));
  for (word = strtok(NULL, " "); word != NULL; word = strtok(NULL, " "))
    putchar(pace_is_due(&steps, (uint32_t)strtoul(word, NULL, 10)) ? '1' : '0');
  putchar('\n');
}

static bool run(const char *mode, char *input) {
  if (strcmp(mode, "quadrature") == 0) quadrature(input);
  else if (strcmp(mode, "spi") == 0) spi(input);
  else if (strcmp(mode, "i2c14") == 0) absolute_i2c(&ABSOLUTE_I2C_14, input);
  else if (strcmp(mode, "i2c12") == 0) absolute_i2c(&ABSOLUTE_I2C_12, input);
  else if (strcmp(mode, "high") == 0) accelerometer(&ACCELEROMETER_HIGH_FIRST, input);
  else if (strcmp(mode, "low") == 0) accelerometer(&ACCELEROMETER_LOW_FIRST, input);
  else if (strcmp(mode, "debounce") == 0) debounce(input);
  else if (strcmp(mode, "outputs") == 0) outputs(input);
  else if (strcmp(mode, "pace") == 0) pace(input);
  else return false;
  return true;
}

int main(int count, char **words) {
  static char input[65536];
  while (count == 2 && fgets(input, sizeof input, stdin) != NULL) {
    input[strcspn(input, "\n")] = '\0';
    if (!run(words[1], input)) return 2;
  }
  return count == 2 ? 0 : 2;
}
