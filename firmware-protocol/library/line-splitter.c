#include "line-splitter.h"

void line_splitter_start(struct line_splitter *splitter, char *held, uint16_t size) {
  *splitter = (struct line_splitter){.held = held, .size = size};
}

static uint16_t finish(struct line_splitter *splitter) {
  const uint16_t length = splitter->skipping ? 0 : splitter->used;
  splitter->skipping = false;
  splitter->used = 0;
  return length;
}

uint16_t line_splitter_push(struct line_splitter *splitter, uint8_t byte) {
  if (byte == '\r' || byte == '\n') return finish(splitter);
  if (splitter->skipping) return 0;
  if (splitter->used < splitter->size) {
    splitter->held[splitter->used++] = (char)byte;
    return 0;
  }
  splitter->skipping = true;
  if (splitter->overlong < UINT32_MAX) splitter->overlong++;
  return 0;
}
