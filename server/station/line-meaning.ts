import { splitColumns } from '../../firmware-protocol/codec/columns.ts'
import { decodeLine } from '../../firmware-protocol/codec/decode.ts'
import { parseModbusLine, readRegisters } from '../../firmware-protocol/codec/modbus-line.ts'
import { decodeXdr } from '../../firmware-protocol/codec/xdr.ts'
import type { ModbusOptions, NumberOptions, Wire } from '../messages/wire.ts'
import { pollSpan } from './modbus-span.ts'

/** What a raw line was taken for, for the one who sets the wire up. */
export interface LineMeaning {
  readonly ok: boolean
  /** The reading in a few words, or the reason why there is none. */
  readonly taken: string
}

export function meaningOf(wire: Wire, text: string): LineMeaning {
  if (wire.kind === 'bench') return nativeMeaning(text)
  if (wire.kind === 'modbus') return modbusMeaning(text, wire.options)
  switch (wire.dialect) {
    case 'native':
      return nativeMeaning(text)
    case 'nmea-xdr':
      return xdrMeaning(text)
    case 'number':
      return numberMeaning(text, wire.options)
    case 'modbus-rtu':
      return modbusMeaning(text, wire.options)
  }
}

const refused = (reason: string): LineMeaning => ({ ok: false, taken: reason })
const taken = (words: string): LineMeaning => ({ ok: true, taken: words })

function nativeMeaning(text: string): LineMeaning {
  const decoded = decodeLine(text)
  if (!decoded.ok) return refused(decoded.reason)
  const { sentence } = decoded
  return taken(sentence.kind === 'sample' ? `sample ${sentence.counts}` : sentence.kind)
}

function xdrMeaning(text: string): LineMeaning {
  const decoded = decodeXdr(text)
  if (!decoded.ok) return refused(decoded.reason)
  const words = decoded.transducers.map(({ type, value, unit, name }) =>
    `${type} ${name} ${value ?? 'no reading'} ${unit}`.trimEnd(),
  )
  return taken(words.join(', '))
}

function numberMeaning(text: string, { separator = 'none' }: NumberOptions): LineMeaning {
  const split = splitColumns(text, separator)
  return split.ok ? taken(split.cells.join(' | ')) : refused(split.reason)
}

function modbusMeaning(text: string, options: ModbusOptions): LineMeaning {
  const line = parseModbusLine(text)
  if (line === null) return refused('unknown sentence')
  if (line.kind !== 'answer')
    return refused(line.code > 0 ? `${line.kind} ${line.code}` : line.kind)
  const { registersAs, wordOrder = 'high-first' } = options
  const value = readRegisters(line.registers, pollSpan(options).at, registersAs, wordOrder)
  return taken(`registers ${line.registers.join(' ')} as ${registersAs} ${value ?? 'no reading'}`)
}
