import { choice, type Field, integer, orEmpty, text } from './field.ts'
import type { Sentence } from './sentence.ts'

type Kind = Sentence['kind']
type SentenceOf<K extends Kind> = Extract<Sentence, { readonly kind: K }>

/** How one kind of sentence stands on the wire: its letter, and its fields in the order of the line. */
interface Form<K extends Kind> {
  readonly letter: string
  readonly fields: {
    readonly [P in Exclude<keyof SentenceOf<K>, 'kind'>]-?: Field<SentenceOf<K>[P]>
  }
}

const UINT32_MAX = 2 ** 32 - 1
const sequence = integer(0, 65535)
const command = integer(0, 65535)
const tickUs = integer(0, UINT32_MAX)
/** Four bits have a meaning, four are kept for later. */
const flags = integer(0, 255)
const counts = integer(-(2 ** 31), 2 ** 31 - 1)
/** Three-axis sensors of this kind give 16 bits an axis or less. */
const axis = integer(-32768, 32767)
const protocol = integer(1, 99)
/** Above 1 kHz a text line of this length outgrows the serial adapters in use (921,600 baud). */
const rateHz = integer(1, 1000)
/** A counter stops at its top. */
const count = integer(0, UINT32_MAX)

/** Every sentence there is. The compiler holds this table against `sentence.ts`, field by field. */
const FORMS: { readonly [K in Kind]: Form<K> } = {
  hello: {
    letter: 'H',
    fields: {
      protocol,
      firmware: text(1, 16),
      board: text(1, 16),
      sensor: choice(['INC', 'incremental'], ['ABS', 'absolute'], ['ACC', 'accelerometer']),
      countsPerTurn: integer(1, 2 ** 31 - 1),
      rateHz,
    },
  },
  sample: {
    letter: 'S',
    fields: { sequence, tickUs, counts, flags, second: orEmpty(counts, null) },
  },
  axes: { letter: 'X', fields: { sequence, tickUs, x: axis, y: axis, z: axis, flags } },
  status: {
    letter: 'T',
    fields: { tickUs, flags, supplyMv: integer(0, 65535), overruns: count, sensorErrors: count },
  },
  event: {
    letter: 'E',
    fields: {
      sequence,
      tickUs,
      input: integer(1, 9),
      edge: choice(['DOWN', 'down'], ['UP', 'up']),
      counts,
    },
  },
  answer: {
    letter: 'A',
    fields: { command, ok: choice(['OK', true], ['NO', false]), reason: text(0, 32) },
  },
  'clock-reply': {
    letter: 'R',
    fields: { command, receivedTickUs: tickUs, sentTickUs: tickUs },
  },
  identify: { letter: 'I', fields: { command, protocol: orEmpty(protocol, undefined) } },
  'set-rate': { letter: 'F', fields: { command, rateHz } },
  'set-output': {
    letter: 'O',
    fields: {
      command,
      output: choice(['BUZZER', 'buzzer'], ['LAMP', 'lamp'], ['RELAY', 'relay']),
      on: choice(['ON', true], ['OFF', false]),
      timeToLiveMs: integer(1, 2000),
    },
  },
  heartbeat: { letter: 'B', fields: { command } },
  'clock-query': { letter: 'Q', fields: { command } },
}

/** A form as the codec walks it: its fields as a list, their types forgotten. */
export interface LooseForm {
  readonly kind: Kind
  readonly letter: string
  readonly fields: readonly (readonly [name: string, field: Field<unknown>])[]
}

/** An object's keys stay in the order they were written in, so the table's order is the line's. */
export const FORM_LIST: readonly LooseForm[] = Object.entries(FORMS).map(([kind, form]) => ({
  kind: kind as Kind,
  letter: form.letter,
  fields: Object.entries(form.fields as Record<string, Field<unknown>>),
}))

/**
 * The one rule that spans two fields: an answer carries a reason when, and only when, it refuses.
 */
export function fieldsAgree(sentence: Sentence): boolean {
  return sentence.kind !== 'answer' || sentence.ok === (sentence.reason === '')
}
