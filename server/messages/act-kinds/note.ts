import { Type } from 'typebox'
import { defineAct } from './act-kind.ts'

/** So many characters, as a person counts them, that a note may have. */
const NOTE_MAX = 10_000

export const note = defineAct({
  kind: 'note',
  address: 'notes',
  summary: 'Write a note about a bend',
  may: 'operator',
  fields: {
    text: Type.String({
      minLength: 1,
      maxLength: NOTE_MAX,
      pattern: '\\S',
      description: 'Any text; it is kept and shown exactly as it was written.',
    }),
  },
})
