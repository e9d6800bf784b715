#ifndef OVERBEND_DECODE_H
#define OVERBEND_DECODE_H

#include "sentence.h"

/**
 * Reads one line of the native protocol, without its ending. Any bytes at all may be given.
 *
 * @return REFUSED_NOT and fills the sentence; else the first reason in the order of SPECIFICATION.md, with the
 *   sentence left in any state.
 */
enum refusal decode_line(const char *line, uint16_t length, struct sentence *sentence);

/**
 * The number of a command whose frame is whole but whose fields do not fit, so that it can be refused.
 *
 * @return false when it is no command of a host or its number cannot be read.
 */
bool refusable_command(const char *line, uint16_t length, uint16_t *command);

#endif
