import { beforeAll, describe, expect, test } from 'vitest'
import { makeRandom, type Random } from '../../firmware-protocol/bench/random.ts'
import { decodeLine } from '../../firmware-protocol/codec/decode.ts'
import { encodeSentence } from '../../firmware-protocol/codec/encode.ts'
import { closeFrame } from '../../firmware-protocol/codec/frame.ts'
import { makeLineSplitter } from '../../firmware-protocol/codec/line-splitter.ts'
import type { Sentence } from '../../firmware-protocol/codec/sentence.ts'
import { readSessions } from '../protocol/session-file.ts'
import { skipWithout } from '../support/needs.ts'
import { answersOf, buildHost } from './c-host.ts'

const SEED = 20_260_101
const GENERATED = 60_000
const STREAMS = 2000

const sessionLines = readSessions().flatMap(({ lines }) => lines.map(({ line }) => line))
const hex = (line: string): string => Buffer.from(line, 'latin1').toString('hex')

/** What the TypeScript codec makes of a line, in the words of codec-host. */
function expected(line: string): { sentence: Sentence; again: string } | string {
  const decoded = decodeLine(line)
  return decoded.ok
    ? { sentence: decoded.sentence, again: encodeSentence(decoded.sentence) }
    : decoded.reason
}

/** What the C codec made of it. */
function told(answer: string): { sentence: Sentence; again: string } | string {
  const [sentence = '', again] = answer.split('\t')
  return again === undefined ? answer : { sentence: JSON.parse(sentence) as Sentence, again }
}

const whole = (random: Random, below: number): number => Math.floor(random.between(0, below))
const pick = <T>(random: Random, list: readonly T[]): T => list[whole(random, list.length)] as T

/** Numbers about the limits of every field, and texts about the lengths of theirs. */
const FIELDS = [
  ...['0', '1', '9', '10', '99', '100', '255', '256', '999', '1000', '1001', '2000', '2001'],
  ...['32767', '32768', '65535', '65536', '2147483647', '2147483648', '4294967295', '4294967296'],
  ...['-1', '-0', '-32768', '-32769', '-2147483648', '-2147483649', '00', '01', '+1', '9999999999'],
  ...['', ' ', 'OK', 'NO', 'ON', 'OFF', 'UP', 'DOWN', 'INC', 'ABS', 'ACC', 'BUZZER', 'LAMP'],
  ...[
    'RELAY',
    'busy',
    'not supported',
    'a'.repeat(16),
    'a'.repeat(17),
    'a'.repeat(32),
    'x/y',
    '1.5',
  ],
]

/** A frame that is whole around fields that may be anything. */
function framed(random: Random): string {
  const letter = pick(random, [...'HSXTEARIFOBQZ'])
  const fields = Array.from({ length: 1 + whole(random, 7) }, () => pick(random, FIELDS))
  try {
    return closeFrame(letter, fields)
  } catch {
    return closeFrame(letter, ['1'])
  }
}

/** A line of a session with its sums made anew around one field that was changed. */
function refielded(random: Random, line: string): string {
  const fields = line.slice(6, -8).split(',').slice(1)
  fields[whole(random, fields.length)] = pick(random, FIELDS)
  try {
    return closeFrame(line.charAt(5), fields)
  } catch {
    return line
  }
}

function damaged(random: Random, line: string): string {
  const at = whole(random, line.length + 1)
  const byte = String.fromCharCode(whole(random, 256))
  const cut = whole(random, 3)
  return line.slice(0, at) + (cut === 0 ? '' : byte) + line.slice(at + (cut === 1 ? 0 : 1))
}

function generate(random: Random): string {
  const line = pick(random, sessionLines)
  const kind = whole(random, 5)
  if (kind === 0) return framed(random)
  if (kind === 1) return refielded(random, line)
  if (kind === 2) return damaged(random, line)
  if (kind === 3) return damaged(random, refielded(random, line))
  return `${line.slice(0, whole(random, line.length))}${pick(random, sessionLines)}`
}

/** A sentence as codec-host encode takes it: choices as their numbers, nothing as nothing. */
const CHOICES = [
  'incremental',
  'absolute',
  'accelerometer',
  'buzzer',
  'lamp',
  'relay',
  'down',
  'up',
]
const NUMBERS = [0, 1, 2, 0, 1, 2, 0, 1]
function rowOf(sentence: Sentence): string {
  const letter = encodeSentence(sentence).charAt(5)
  const values = Object.entries(sentence).filter(([name]) => name !== 'kind')
  const fields = values.map(([, value]) => {
    if (typeof value === 'boolean') return value ? '1' : '0'
    const choice = CHOICES.indexOf(String(value))
    return choice >= 0 ? String(NUMBERS[choice]) : String(value ?? '')
  })
  return [letter, ...fields].join('\t')
}

describe.skipIf(skipWithout('gcc'))('the C codec beside the TypeScript codec', () => {
  let program = ''
  beforeAll(async () => {
    program = await buildHost('codec-host')
  })

  const decode = (lines: readonly string[]) => answersOf(program, ['decode'], lines.map(hex))

  test('reads every line of the golden sessions alike, and writes it alike', () => {
    expect(sessionLines.length).toBeGreaterThan(100)
    const answers = decode(sessionLines).map(told)
    expect(answers).toEqual(sessionLines.map(expected))
  })

  test(`reads ${GENERATED} generated lines alike, seed ${SEED}`, () => {
    const random = makeRandom(SEED, 'lines')
    const lines = Array.from({ length: GENERATED }, () => generate(random))
    const answers = decode(lines)
    const verdicts = new Map<string, number>()
    lines.forEach((line, at) => {
      const right = expected(line)
      const name = typeof right === 'string' ? right : right.sentence.kind
      verdicts.set(name, (verdicts.get(name) ?? 0) + 1)
      expect(told(answers[at] ?? ''), JSON.stringify(line)).toEqual(right)
    })
    // Every kind and every reason but the empty line was among them, many times over.
    expect(verdicts.size).toBeGreaterThanOrEqual(12 + 9)
    expect(Math.min(...verdicts.values())).toBeGreaterThan(20)
  })

  test('finds nothing in an empty line', () => {
    expect(decode([''])).toEqual(['empty'])
  })

  test('writes every sentence of the sessions from its values', () => {
    const sentences = sessionLines.flatMap((line) => {
      const decoded = decodeLine(line)
      return decoded.ok ? [decoded.sentence] : []
    })
    const answers = answersOf(program, ['encode'], sentences.map(rowOf))
    expect(answers).toEqual(sentences.map(encodeSentence))
  })

  test.each([
    ['protocol 0', 'H\t0\tf\tb\t0\t1\t1'],
    ['protocol 100', 'H\t100\tf\tb\t0\t1\t1'],
    ['no firmware', 'H\t1\t\tb\t0\t1\t1'],
    ['a comma in a text', 'H\t1\tf,g\tb\t0\t1\t1'],
    ['an unknown sensor', 'H\t1\tf\tb\t3\t1\t1'],
    ['no counts a turn', 'H\t1\tf\tb\t0\t0\t1'],
    ['too many counts a turn', 'H\t1\tf\tb\t0\t2147483648\t1'],
    ['no rate', 'H\t1\tf\tb\t0\t1\t0'],
    ['rate 1001', 'H\t1\tf\tb\t0\t1\t1001'],
    ['input 0', 'E\t1\t2\t0\t0\t5'],
    ['input 10', 'E\t1\t2\t10\t0\t5'],
    ['an unknown edge', 'E\t1\t2\t1\t2\t5'],
    ['OK with a reason', 'A\t1\t1\tbusy'],
    ['NO without one', 'A\t1\t0\t'],
    ['version 100', 'I\t1\t100'],
    ['set rate 0', 'F\t1\t0'],
    ['an unknown output', 'O\t1\t3\t1\t5'],
    ['time to live 0', 'O\t1\t0\t1\t0'],
    ['time to live 2001', 'O\t1\t0\t1\t2001'],
    ['an unknown letter', 'Z\t1'],
  ])('does not write %s', (_, row) => {
    expect(answersOf(program, ['encode'], [row])).toEqual(['misfit'])
  })

  test(`cuts ${STREAMS} streams into the same lines, seed ${SEED}`, () => {
    const random = makeRandom(SEED, 'streams')
    const streams = Array.from({ length: STREAMS }, () => {
      const pieces = Array.from({ length: 1 + whole(random, 6) }, () => {
        const line = pick(random, [pick(random, sessionLines), '', 'x'.repeat(whole(random, 600))])
        return `${line}${pick(random, ['\r\n', '\n', '\r', '\n\r', '\0', '\xff\r\n', '\r\r\n'])}`
      })
      return `${pieces.join('')}\n`
    })
    const rights = streams.map((stream) => {
      const lines: string[] = []
      const splitter = makeLineSplitter((line) => lines.push(hex(line)))
      splitter.push(Buffer.from(stream, 'latin1'))
      return [...lines, `overlong ${splitter.overlong()}`].join(' ')
    })
    expect(answersOf(program, ['split'], streams.map(hex))).toEqual(rights)
    expect(rights.filter((right) => !right.endsWith(' 0')).length).toBeGreaterThan(100)
  })
})
