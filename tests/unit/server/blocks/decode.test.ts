import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { encodeSentence } from '../../../../firmware-protocol/codec/encode.ts'
import { decode } from '../../../../server/blocks/decode.ts'
import { BAD, GOOD, NONE, UNCERTAIN } from '../../../../server/chain/column.ts'
import { oneBlock } from './one-block.ts'
import { answerText, fromDevice, fromHost, helloText, sampleText } from './wire.ts'

const feed = (...texts: string[]) =>
  oneBlock(decode).feed(texts.map((text) => ({ line: fromDevice(text) })))
const troubles = (...texts: string[]) => feed(...texts).map(({ all }) => all['trouble'] ?? null)
const reports = (...texts: string[]) => feed(...texts).map(({ all }) => all['device'] ?? null)

test('a sample gives counts and tick', () => {
  const [row] = feed(sampleText({ tickUs: 4_294_967_295, counts: -5 }))
  expect(row).toMatchObject({ quality: GOOD, all: { counts: -5, tick: 4_294_967_295 } })
})

test('counts for a turn are known from the hello on, and stay', () => {
  const rows = feed(sampleText({}), helloText({ countsPerTurn: 4096 }), sampleText({ sequence: 1 }))
  expect(rows.map(({ all }) => all['countsPerTurn'])).toEqual([0, 4096, 4096])
})

test('lines of the station are passed over', () => {
  const [row] = oneBlock(decode).feed([{ line: fromHost(sampleText({})) }])
  expect(row).toMatchObject({ quality: NONE, all: { device: null, trouble: null } })
})

describe('flags become quality', () => {
  test.each([
    [0, GOOD],
    [1, BAD],
    [2, UNCERTAIN],
    [4, UNCERTAIN],
    [6, UNCERTAIN],
    [7, BAD],
    [8, GOOD],
    [9, BAD],
    [240, GOOD],
  ])('flags %i', (flags, quality) => {
    expect(feed(sampleText({ flags }))[0]?.quality).toBe(quality)
  })

  test('are reported when they change, and only then', () => {
    const flags = [0, 8, 8, 9, 8].map((value, sequence) => sampleText({ sequence, flags: value }))
    expect(reports(...flags)).toEqual([
      null,
      { kind: 'flags', flags: 8 },
      null,
      { kind: 'flags', flags: 9 },
      { kind: 'flags', flags: 8 },
    ])
  })
})

// The table "Sequence" of SPECIFICATION.md, line by line.
describe('the sequence', () => {
  const gap = (missing: number) => ({ reason: 'gap', missing })
  test.each([
    ['the next', 7, 8, null],
    ['the next after 65535', 65_535, 0, null],
    ['one missing', 7, 9, gap(1)],
    ['missing over the end', 65_534, 2, gap(3)],
    ['the longest gap', 0, 32_768, gap(32_767)],
    ['a step back', 0, 32_769, gap(1)],
    ['one step back', 5, 4, gap(1)],
    ['the same with another tick', 7, 7, gap(1)],
  ])('%s', (_, first, second, trouble) => {
    const texts = [
      sampleText({ sequence: first, tickUs: 1 }),
      sampleText({ sequence: second, tickUs: 2 }),
    ]
    expect(troubles(...texts)).toEqual([null, trouble])
    expect(feed(...texts)[1]?.quality).toBe(GOOD)
  })

  test('the same line twice is used once', () => {
    const text = sampleText({ sequence: 7, tickUs: 1 })
    expect(troubles(text, text)).toEqual([null, { reason: 'duplicate' }])
    expect(feed(text, text).map(({ quality }) => quality)).toEqual([GOOD, NONE])
  })

  test('any number may come after a hello', () => {
    const texts = [sampleText({ sequence: 7 }), helloText(), sampleText({ sequence: 3 })]
    expect(troubles(...texts)).toEqual([null, null, null])
  })

  test('events and axes count along', () => {
    const event = encodeSentence({
      kind: 'event',
      sequence: 8,
      tickUs: 0,
      input: 1,
      edge: 'down',
      counts: 5,
    })
    const axes = { kind: 'axes' as const, tickUs: 0, x: 0, y: 0, z: 0, flags: 0 }
    const texts = [
      sampleText({ sequence: 7 }),
      event,
      encodeSentence({ ...axes, sequence: 9 }),
      sampleText({ sequence: 10 }),
    ]
    expect(troubles(...texts)).toEqual([null, null, null, null])
    expect(reports(event, event).map((report) => report !== null)).toEqual([true, false])
  })
})

describe('a hello', () => {
  const starts = (...texts: string[]) =>
    reports(...texts).flatMap((report) =>
      (report as { kind?: string })?.kind === 'hello' ? [(report as { start: boolean }).start] : [],
    )
  test.each([
    ['unasked', [helloText()], true],
    ['after an OK', [answerText(true), helloText()], false],
    ["after an OK to the link's own question", [answerText(true, 0), helloText()], false],
    ['after an OK to another command', [answerText(true, 2), helloText()], true],
    ['after a refusal', [answerText(false), helloText()], true],
    ['after an OK and a sample', [answerText(true), sampleText({}), helloText()], true],
    ['after an OK and a damaged line', [answerText(true), '$PXOBS,1*00', helloText()], true],
  ])('%s', (_, texts, start) => {
    expect(starts(...texts)).toEqual([start])
  })

  test('of a version that is not spoken: its samples are bad, until another hello', () => {
    const rows = feed(
      helloText({ protocol: 2 }),
      sampleText({ sequence: 1 }),
      helloText(),
      sampleText({ sequence: 1 }),
    )
    expect(rows.map(({ quality }) => quality)).toEqual([NONE, BAD, NONE, GOOD])
  })
})

describe('other lines', () => {
  const status = { kind: 'status' as const, tickUs: 1, flags: 0, supplyMv: 4980 }
  const good = { ...status, overruns: 2, sensorErrors: 0 }

  test('status and answers are reported as they are', () => {
    expect(reports(encodeSentence(good), answerText(true))).toEqual([
      good,
      { kind: 'answer', command: 1, ok: true, reason: '' },
    ])
  })

  test('a command that comes back from the device is none of its sentences', () => {
    const echo = encodeSentence({ kind: 'heartbeat', command: 4 })
    expect(troubles(echo)).toEqual([{ reason: 'unknown sentence' }])
    expect(reports(echo)).toEqual([null])
  })

  test('every truncation of a sample is refused, and yields no value', () => {
    const whole = sampleText({ sequence: 12, tickUs: 345, counts: 678 })
    for (let length = 0; length < whole.length; length++) {
      const [row] = feed(whole.slice(0, length))
      expect(row?.quality).toBe(NONE)
      expect(row?.all['trouble']).toMatchObject({ reason: expect.any(String) })
    }
  })

  test('every changed character of a sample is refused', () => {
    const whole = sampleText({ sequence: 12, tickUs: 345, counts: 678 })
    for (let place = 0; place < whole.length; place++) {
      const other = whole[place] === '1' ? '2' : '1'
      const [row] = feed(whole.slice(0, place) + other + whole.slice(place + 1))
      expect(row?.quality).toBe(NONE)
    }
  })

  test('any bytes at all: no throw, and trouble for each (seed 3)', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 300 }), (bytes) => {
        const [row] = feed(String.fromCharCode(...bytes))
        expect(row?.all['trouble']).not.toBeNull()
      }),
      { seed: 3 },
    )
  })
})

describe('three axes', () => {
  const axesText = (parts: { sequence?: number; flags?: number; x?: number }) =>
    encodeSentence({
      kind: 'axes',
      sequence: 0,
      tickUs: 5000,
      x: -2044,
      y: 311,
      z: 16_240,
      flags: 0,
      ...parts,
    })
  const qualityOf = (axis: string, ...texts: string[]) =>
    feed(...texts).map(({ qualities }) => qualities[axis])

  test('come out in one row, with the tick, and are no counts', () => {
    const [row] = feed(axesText({}))
    expect(row?.all).toMatchObject({ x: -2044, y: 311, z: 16_240, tick: 5000, device: null })
    expect(row?.qualities).toMatchObject({ counts: NONE, x: GOOD, y: GOOD, z: GOOD, tick: GOOD })
  })

  test.each([
    [0, GOOD],
    [4, UNCERTAIN],
    [1, BAD],
  ])('with flags %i have quality %i', (flags, quality) => {
    const [row] = feed(axesText({ flags }))
    expect(row?.qualities).toMatchObject({ x: quality, y: quality, z: quality })
  })

  test('sent twice are used once, and a gap before them is told', () => {
    const texts = [axesText({}), axesText({}), axesText({ sequence: 3 })]
    expect(troubles(...texts)).toEqual([
      null,
      { reason: 'duplicate' },
      { reason: 'gap', missing: 2 },
    ])
    for (const axis of ['x', 'y', 'z'])
      expect(qualityOf(axis, ...texts)).toEqual([GOOD, NONE, GOOD])
  })

  test('stand in no row but their own', () => {
    const texts = [axesText({}), sampleText({ sequence: 1, counts: 7 }), 'garbage']
    expect(qualityOf('x', ...texts)).toEqual([GOOD, NONE, NONE])
    expect(qualityOf('counts', ...texts)).toEqual([NONE, GOOD, NONE])
  })

  test('of a version that is not spoken here are bad', () => {
    expect(qualityOf('z', helloText({ protocol: 2 }), axesText({}))).toEqual([NONE, BAD])
  })
})

test.each([
  [-88, GOOD],
  [0, GOOD],
  [null, NONE],
])('a second channel of %j has quality %i', (second, quality) => {
  const sentence = { kind: 'sample' as const, sequence: 0, tickUs: 0, counts: 5, flags: 0, second }
  const [row] = feed(encodeSentence(sentence))
  expect(row?.qualities['second']).toBe(quality)
  expect(row?.all['second']).toBe(second ?? 0)
})
