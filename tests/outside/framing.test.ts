import { describe, expect, it } from 'vitest'
import { crc16Ccitt } from '../../firmware-protocol/codec/crc16.ts'
import { decodeLine } from '../../firmware-protocol/codec/decode.ts'
import { detectDialect } from '../../firmware-protocol/codec/detect.ts'
import { refuseNmea } from '../../firmware-protocol/codec/frame.ts'
import { decodeXdr } from '../../firmware-protocol/codec/xdr.ts'
import { decodeXdr as decodeXdrBlock } from '../../server/blocks/decode-xdr.ts'
import { GOOD } from '../../server/chain/column.ts'
import { oneBlock } from '../unit/server/blocks/one-block.ts'
import { fromDevice } from '../unit/server/blocks/wire.ts'
import framing from './data/framing.json' with { type: 'json' }
import published from './data/xdr-published.json' with { type: 'json' }

const hex4 = (value: number) => value.toString(16).toUpperCase().padStart(4, '0')

function xorOf(text: string): number {
  let xor = 0
  for (const char of text) xor ^= char.charCodeAt(0)
  return xor
}

// Sources: beside each value in data/framing.json.
describe('CRC-16/IBM-3740', () => {
  it.each(framing.crc)('of $ascii is $crcHex: $source', ({ ascii, crcHex }) => {
    expect(hex4(crc16Ccitt(ascii))).toBe(crcHex)
  })

  const { bodies, source } = framing.crcOfBodies

  it.each(bodies)(`of $body is $crcHex: ${source}`, ({ body, crcHex }) => {
    expect(hex4(crc16Ccitt(body))).toBe(crcHex)
  })

  it('tells apart what the XOR cannot', () => {
    expect(new Set(bodies.map(({ body }) => xorOf(body))).size).toBe(1)
    expect(new Set(bodies.map(({ body }) => crc16Ccitt(body))).size).toBe(bodies.length)
  })
})

// Sources: beside each line in data/framing.json.
describe('NMEA 0183 framing', () => {
  it.each(framing.nmea)('takes $line: $source', ({ line }) => {
    expect(refuseNmea(line, 80)).toBeNull()
  })

  it.each(framing.nmea)(
    'is none of our own sentences, and not a damaged one: $line',
    ({ line }) => {
      expect(decodeLine(line)).toEqual({ ok: false, reason: 'unknown sentence' })
    },
  )

  it.each(framing.nmea)('refuses it with any other checksum: $line', ({ line }) => {
    const right = line.slice(-2)
    const wrong = Array.from({ length: 256 }, (_, sum) => hex4(sum).slice(2)).filter(
      (sum) => sum !== right,
    )
    const taken = wrong.filter((sum) => refuseNmea(line.slice(0, -2) + sum, 80) === null)
    expect(wrong).toHaveLength(255)
    expect(taken).toEqual([])
  })

  it('reads the angles and the pressure of the check sentences', () => {
    const readings = framing.nmea.flatMap(({ line }) => {
      const decoded = decodeXdr(line)
      return decoded.ok ? decoded.transducers : []
    })
    expect(readings).toEqual([
      { type: 'A', value: 12.34, unit: 'D', name: 'BEND' },
      { type: 'A', value: -0.7, unit: 'D', name: 'PTCH' },
      { type: 'A', value: 0.9, unit: 'D', name: 'ROLL' },
      { type: 'P', value: 102.5, unit: 'B', name: 'RAM' },
      { type: 'A', value: -0.05, unit: 'D', name: 'BEND' },
    ])
  })
})

// Sources: beside each line in data/framing.json.
describe('what the daemon reads of the check sentences', () => {
  it('is the angle of the chosen name, and the pressure beside it', () => {
    const rows = oneBlock(decodeXdrBlock, { name: 'BEND', pressureName: 'RAM' }).feed(
      framing.nmea.map(({ line }) => ({ line: fromDevice(line) })),
    )
    const readings = rows.filter(({ quality }) => quality === GOOD)
    expect(readings.map(({ value }) => value)).toEqual([12.34, -0.05])
    expect(readings.at(-1)?.all['pressure']).toBe(102.5)
    const troubles = rows.map(({ all }) => (all['trouble'] as { reason?: string } | null)?.reason)
    expect(troubles.filter(Boolean)).toEqual(['unknown sentence', 'unknown sentence'])
  })

  it('finds XDR in the sentences found in print, and is sure of it', () => {
    const lines = published.good.map(({ line }) => line)
    const { best } = detectDialect({ lines, bytes: lines.join('').length, strangeBytes: 0 })
    expect(best?.dialect).toBe('nmea-xdr')
    expect(best?.sure).toBeGreaterThan(0.99)
  })
})

// Sources: beside each line in data/xdr-published.json.
describe('XDR sentences found in print', () => {
  it.each(published.good)('are read: $line ($source)', ({ line, talker, readings }) => {
    const transducers = readings.map(([type, value, unit, name]) => ({ type, value, unit, name }))
    expect(decodeXdr(line)).toEqual({ ok: true, talker, transducers })
  })

  it.each(published.wrongChecksum)(
    'are refused where the print has a wrong checksum: $line ($source)',
    ({ line, right }) => {
      expect(decodeXdr(line)).toEqual({ ok: false, reason: 'bad checksum' })
      expect(decodeXdr(line.slice(0, -2) + right).ok).toBe(true)
    },
  )

  it('are refused where they are no XDR though the checksum is right', () => {
    expect(refuseNmea(published.noXdr.line, 80)).toBeNull()
    expect(decodeXdr(published.noXdr.line)).toEqual({ ok: false, reason: 'unknown sentence' })
  })
})
