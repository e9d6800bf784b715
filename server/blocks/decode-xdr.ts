import { type Static, Type } from 'typebox'
import { decodeXdr as decodeSentence, type Transducer } from '../../firmware-protocol/codec/xdr.ts'
import { defineBlock } from '../chain/block.ts'
import { strict } from '../chain/strict.ts'
import {
  asSwitch,
  DECODED_INPUTS,
  DECODED_OUTPUTS,
  fillReading,
  fillSecond,
  newDecodedLine,
  stepLines,
} from './decoded-line.ts'
import type { LineTrouble } from './device-report.ts'

/** Chooses the first transducer of its type, whatever it is called. */
const ANY = '*'
const NAME_MAX_CHARS = 40
const PASCAL_A_BAR = 1e5

const second = (description: string) =>
  Type.String({ maxLength: NAME_MAX_CHARS, default: '', description })

const parameters = strict({
  type: Type.String({
    pattern: '^[A-Z]$',
    default: 'A',
    description: 'Letter of the transducer type: A is an angle.',
  }),
  unit: Type.String({
    pattern: '^[A-Z]?$',
    default: 'D',
    description: 'Letter of its unit: D is degrees; empty takes any.',
  }),
  name: Type.String({
    minLength: 1,
    maxLength: NAME_MAX_CHARS,
    default: ANY,
    description: 'Name of the transducer; * takes the first of its type.',
  }),
  pressureName: second('Name of the pressure, type P; * takes the first; empty: none.'),
  switchName: second('Name of the switch, type S; * takes the first; empty: none.'),
})
type Parameters = Static<typeof parameters>

const decoded = newDecodedLine()

/**
 * Reads transducer sentences of NMEA 0183 (XDR), of any talker, and chooses transducers by type and name. A null
 * value, which means no valid reading, is bad. A whole sentence without the chosen transducer is unknown.
 */
export const decodeXdr = defineBlock({
  kind: 'decode-xdr',
  summary: 'Reads NMEA 0183 transducer sentences: angle, pressure, switch.',
  parameters,
  inputs: DECODED_INPUTS,
  outputs: DECODED_OUTPUTS,
  start: () => ({}),
  step(frame, _memory, given: Parameters, rows) {
    stepLines(frame, rows, decoded, ({ text }) => readLine(text, given))
  },
})

function readLine(text: string, given: Parameters): LineTrouble | null {
  const sentence = decodeSentence(text)
  if (!sentence.ok) return { reason: sentence.reason }
  const { transducers } = sentence
  const angle = choose(transducers, given.type, given.name)
  const pressure = choose(transducers, 'P', given.pressureName)
  const contact = choose(transducers, 'S', given.switchName)
  if (pressure) fillSecond(decoded.pressure, barOf(pressure))
  if (contact) fillSecond(decoded.switch, asSwitch(contact.value))
  if (angle === undefined) return pressure || contact ? null : { reason: 'unknown sentence' }
  const hasUnit = given.unit === '' || angle.unit === given.unit
  return hasUnit && fillReading(decoded.value, angle.value) ? null : { reason: 'bad field' }
}

const choose = (transducers: readonly Transducer[], type: string, name: string) =>
  name === ''
    ? undefined
    : transducers.find((one) => one.type === type && (name === ANY || one.name === name))

/** NaN for a unit that is none of pressure. */
function barOf({ value: sent, unit }: Transducer): number | null {
  if (sent === null) return null
  if (unit === 'B') return sent
  return unit === 'P' ? sent / PASCAL_A_BAR : Number.NaN
}
