#ifndef OVERBEND_WORDS_H
#define OVERBEND_WORDS_H

/* Words of the wire, in the order of their enums in sentence.h. */
#define WORDS_SENSOR "INC ABS ACC"
#define WORDS_EDGE "DOWN UP"
#define WORDS_OUTPUT "BUZZER LAMP RELAY"
#define WORDS_ON "OFF ON"
#define WORDS_OK "NO OK"

#endif
