import { beforeAll, describe, expect, test } from 'vitest'
import { makeRandom } from '../../firmware-protocol/bench/random.ts'
import { skipWithout } from '../support/needs.ts'
import { answersOf, buildHost } from './c-host.ts'

const SEED = 5
/** Levels of channels A (bit 1) and B (bit 0) as an encoder shows them one count after the other. */
const GRAY = [0, 2, 3, 1] as const
const levelsOf = (counts: readonly number[]): string =>
  counts.map((count) => GRAY[((count % 4) + 4) % 4]).join('')

const hasEvenParity = (word: number): boolean =>
  [...word.toString(2)].filter((bit) => bit === '1').length % 2 === 0
const withParity = (word: number): number => (hasEvenParity(word) ? word : word | 0x8000)
const hex = (value: number): string => value.toString(16)

describe.skipIf(skipWithout('gcc'))('a part of the C library', () => {
  let program = ''
  beforeAll(async () => {
    program = await buildHost('parts-host')
  })
  const answers = (mode: string, ...lines: readonly string[]) => answersOf(program, [mode], lines)

  test('quadrature: counts up with A in front, down with B', () => {
    const up = Array.from({ length: 41 }, (_, at) => at)
    const down = up.map((count) => -count)
    expect(answers('quadrature', levelsOf(up), levelsOf(down))).toEqual(['40 0', '-40 0'])
  })

  test('quadrature: a channel that trembles about its edge adds nothing', () => {
    expect(answers('quadrature', levelsOf([0, 1, 0, 1, 0, 1, 2, 1, 2, 1]))).toEqual(['1 0'])
    expect(answers('quadrature', '0000222200')).toEqual(['0 0'])
  })

  test('quadrature: both channels at once are counted as missing, whichever pair it was', () => {
    expect(answers('quadrature', '03', '30', '12', '21', '0330')).toEqual([
      '0 1',
      '0 1',
      '0 1',
      '0 1',
      '0 2',
    ])
  })

  test(`quadrature: follows a random walk of 20,000 steps, seed ${SEED}`, () => {
    const random = makeRandom(SEED, 'walk')
    let count = 0
    const walk = Array.from({ length: 20_000 }, () => {
      count += random.between(-1, 1) < 0 ? -1 : 1
      return count
    })
    expect(answers('quadrature', levelsOf([0, ...walk]))).toEqual([`${count} 0`])
  })

  test.each([
    [0, 0, 'good'],
    [16383, 0, 'good'],
    [8191, 0x0800, 'weak'],
    [8192, 0x0400, 'good'],
  ])('SPI encoder: angle %i, diagnostics %i is %s', (angle, diagnostics, reading) => {
    const [answer = ''] = answers(
      'spi',
      `${hex(withParity(angle))} ${hex(withParity(diagnostics))}`,
    )
    const words = answer.split(' ')
    expect(words.slice(-2)).toEqual([reading, `${angle}`])
    // What is sent has even parity too, and asks to read: bit 14.
    const sent = words.slice(0, -2).map((word) => Number.parseInt(word, 16))
    expect(sent).toHaveLength(3)
    expect(sent.every((word) => hasEvenParity(word) && (word & 0x4000) !== 0)).toBe(true)
  })

  test.each([
    ['a wrong parity of the angle', withParity(100) ^ 0x8000, withParity(0)],
    ['one bit that fell over', withParity(100) ^ 1, withParity(0)],
    ['a wrong parity of the diagnostics', withParity(100), withParity(0) ^ 0x8000],
    ['the error flag', withParity(100 | 0x4000), withParity(0)],
    ['a wire that hangs high', 0xffff, 0xffff],
  ])('SPI encoder: %s fails, the angle is untouched and the flag is cleared', (_, angle, other) => {
    const [answer = ''] = answers('spi', `${hex(angle)} ${hex(other)}`)
    const words = answer.split(' ')
    expect(words.slice(-2)).toEqual(['failed', '65535'])
    expect(Number.parseInt(words[3] ?? '', 16) & 0x3fff).toBe(0x0001)
  })

  test('I²C encoders: angle from their two bytes, and what the magnet is', () => {
    expect(answers('i2c14', 'ff 3f 1 9', '80 c1 1 9', '12 05 9 9')).toEqual([
      'good 16383',
      'good 8193',
      `weak ${0x12 * 64 + 5}`,
    ])
    expect(answers('i2c12', '0f ff 20 9', 'f8 00 20 9', '01 02 30 9')).toEqual([
      'good 4095',
      'good 2048',
      'weak 258',
    ])
  })

  test('I²C encoders: no magnet, no answer, or half an answer is a failure', () => {
    expect(answers('i2c14', '12 05 2 9', '12 05 1 0', '12 05 1 1')).toEqual(
      Array(3).fill('failed 65535'),
    )
    expect(answers('i2c12', '01 02 0 9', '01 02 20 0', '01 02 20 1')).toEqual(
      Array(3).fill('failed 65535'),
    )
  })

  test('accelerometers: three signed axes in either order of bytes', () => {
    expect(answers('high', '68 9 80 00 ff fe 40 00')).toEqual([
      'started set-up good -32768 -2 16384',
    ])
    expect(answers('low', '33 9 00 80 fe ff 00 40')).toEqual([
      'started set-up good -32768 -2 16384',
    ])
  })

  test('accelerometers: another sensor, none, and one that is pulled off in between', () => {
    expect(answers('high', '71 9 0 0 0 0 0 0')).toEqual(['absent as-it-was good 0 0 0'])
    expect(answers('high', '68 0 0 0 0 0 0 0')).toEqual(['absent as-it-was failed 1 2 3'])
    expect(answers('high', '68 2 0 0 0 0 0 0')).toEqual(['absent as-it-was failed 1 2 3'])
    expect(answers('low', '33 3 0 0 0 0 0 0')).toEqual(['started set-up failed 1 2 3'])
  })

  test('debounce: one press gives one edge each way, with tick and counts of the first contact', () => {
    const press = '1000:1 1400:0 2000:1 2100:0 5000:1 19000:1 20001:1 90000:1'
    const release = '100000:0 100300:1 101000:0 116001:0'
    expect(answers('debounce', `${press} ${release}`)).toEqual(['down@1000=1 up@100000=100 '])
  })

  test('debounce: a spark that is over again tells nothing, and does not age the next press', () => {
    expect(answers('debounce', '1000:1 1200:0 40000:0 50000:1 70000:1')).toEqual(['down@50000=50 '])
  })

  test('debounce: across the wrap of the tick', () => {
    expect(answers('debounce', '4294960000:1 8000:1')).toEqual(['down@4294960000=4294960 '])
  })

  test('outputs: ON lives its time, not a microsecond longer; again begins anew', () => {
    expect(answers('outputs', '0:0:500 499999:x:0 500000:x:0')).toEqual(['100 100 000 '])
    expect(answers('outputs', '0:0:500 400000:0:100 499999:x:0 500000:x:0')).toEqual([
      '100 100 100 000 ',
    ])
  })

  test('outputs: a heartbeat renews each by its own time, and wakes nothing', () => {
    expect(
      answers('outputs', '0:0:500 0:2:250 200000:h:0 449999:x:0 450000:x:0 699999:x:0 700000:h:0'),
    ).toEqual(['100 101 101 101 100 100 000 '])
  })

  test('outputs: OFF is off, and the others stay', () => {
    expect(answers('outputs', '0:0:500 1:1:500 2:a:0 3:b:0')).toEqual(['100 110 010 000 '])
  })

  test('outputs: across the wrap of the tick', () => {
    expect(answers('outputs', '4294900000:1:100 32703:x:0 32704:x:0')).toEqual(['010 010 000 '])
  })

  test('pace: once a period on its own grid, and from now on after a pause', () => {
    expect(answers('pace', '5000 0 4999 5000 5001 9999 10300 14999 15000')).toEqual(['0100101'])
    expect(answers('pace', '5000 0 23000 23001 27999 28000')).toEqual(['1001'])
    expect(answers('pace', '5000 4294966000 3703 3704 3705 8704')).toEqual(['0101'])
  })
})
