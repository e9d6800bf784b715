#ifndef OVERBEND_ENCODE_H
#define OVERBEND_ENCODE_H

#include "frame.h" // struct line_writer

/**
 * One sentence as a line in `writer->text`, without CR LF. `decode_line` gives the same sentence back.
 *
 * @return Its length; 0 for a value outside its limits.
 */
uint8_t encode_sentence(const struct sentence *sentence, struct line_writer *writer);

#endif
