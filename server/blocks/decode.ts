import { decodeLine } from '../../firmware-protocol/codec/decode.ts'
import { decodeSampleInto, type SampleTarget } from '../../firmware-protocol/codec/sample.ts'
import type { Hello, Sentence } from '../../firmware-protocol/codec/sentence.ts'
import { defineBlock, type Frame, item, number } from '../chain/block.ts'
import { BAD, GOOD, NONE, type Quality, UNCERTAIN } from '../chain/column.ts'
import type { RawLine } from '../chain/raw-line.ts'
import { strict } from '../chain/strict.ts'
import type { DeviceReport, LineTrouble } from './device-report.ts'

const SENSOR_FAULT = 1
const WEAK_MAGNET = 2
const SUPPLY_LOW = 4
/** The version of the native protocol that is spoken here. */
const PROTOCOL = 1
/** The station's number for *identify*: a hello behind an OK to this one was asked for. */
export const IDENTIFY_COMMAND = 1
/** The link's own, when it looks whether a port under another name is the same board. */
const LINK_IDENTIFY_COMMAND = 0
/** Sequence numbers go from 0 to 65535 and round again. */
const SEQUENCES = 65_536

const inputs = { line: item<RawLine>('raw-line', 'Lines; only those of the device are read.') }
const outputs = {
  counts: number('count', 'Counts of the angle sensor, as sent.'),
  tick: number('count', 'Device microseconds, 0 to 2^32 − 1, as sent.'),
  x: number('count', 'Axis x of an accelerometer, as sent.'),
  y: number('count', 'Axis y, in the same row.'),
  z: number('count', 'Axis z, in the same row.'),
  second: number('count', 'The second channel, of a board that has one.'),
  countsPerTurn: number('count', 'Counts for one turn or one g, once the board has said so.'),
  device: item<DeviceReport>('device-report', 'What the device says besides samples.'),
  trouble: item<LineTrouble>('line-trouble', 'What was wrong with a line.'),
}

interface Memory {
  /** Of the last sentence that carried one; −1 when any may come next. */
  sequence: number
  tickUs: number
  /** 0 until the board has said it. */
  countsPerTurn: number
  flags: number
  /** Of the last hello: the samples of another version must not be used. */
  protocol: number
  /** Whether the line before was an OK to *identify*: only then was a hello asked for. */
  answered: boolean
}

/** Filled by the codec for each line and read at once: never kept, so it is no part of any memory. */
const sample: SampleTarget = { sequence: 0, tickUs: 0, counts: 0, flags: 0, second: null }
/** The same for a sentence of three axes. */
const axes = { x: 0, y: 0, z: 0, isRead: false }

/**
 * Reads the native protocol. A refused line, a gap in the sequence or a line sent twice never stops the
 * stream; each is reported on `trouble`. A sample's flags become its quality: a sensor fault makes it bad, a
 * weak magnet or a low supply uncertain. SPECIFICATION.md says what each of these means.
 */
export const decode = defineBlock({
  kind: 'decode',
  summary: 'Reads the native protocol: counts, ticks and what else the device says.',
  parameters: strict({}),
  inputs,
  outputs,
  start: newMemory,
  step(frame, memory, _, rows) {
    const { counts, tick, countsPerTurn, second } = frame.out
    const { items } = frame.in.line
    for (let row = 0; row < rows; row++) {
      const line = items[row]
      const fromDevice = line?.from === 'device'
      axes.isRead = false
      const quality = fromDevice ? readLine(frame, memory, row, line.text) : NONE
      counts.value[row] = sample.counts
      tick.value[row] = sample.tickUs
      counts.quality[row] = axes.isRead ? NONE : quality
      tick.quality[row] = quality === NONE ? NONE : GOOD
      second.value[row] = sample.second ?? 0
      second.quality[row] = axes.isRead || sample.second === null ? NONE : quality
      putAxes(frame, row, axes.isRead ? quality : NONE)
      countsPerTurn.value[row] = memory.countsPerTurn
      countsPerTurn.quality[row] = memory.countsPerTurn > 0 ? GOOD : NONE
    }
  },
})

function newMemory(): Memory {
  return {
    sequence: -1,
    tickUs: 0,
    countsPerTurn: 0,
    flags: 0,
    protocol: PROTOCOL,
    answered: false,
  }
}

type DecodeFrame = Frame<typeof inputs, typeof outputs>

function putAxes({ out }: DecodeFrame, row: number, quality: Quality): void {
  out.x.value[row] = axes.x
  out.y.value[row] = axes.y
  out.z.value[row] = axes.z
  out.x.quality[row] = quality
  out.y.quality[row] = quality
  out.z.quality[row] = quality
}

/** @returns the quality of the reading, which then stands in `sample` or `axes`; NONE when the line holds none. */
function readLine(frame: DecodeFrame, memory: Memory, row: number, text: string): Quality {
  if (!decodeSampleInto(text, sample)) return readOther(frame, memory, row, text)
  return takeReading(frame, memory, row)
}

/** Of samples and axes alike: what they share stands in `sample`. */
function takeReading(frame: DecodeFrame, memory: Memory, row: number): Quality {
  memory.answered = false
  if (!isNew(frame, memory, row, sample.sequence, sample.tickUs)) return NONE
  if (sample.flags !== memory.flags) reportFlags(frame, memory, row)
  return memory.protocol === PROTOCOL ? qualityOf(sample.flags) : BAD
}

function qualityOf(flags: number): Quality {
  if (flags & SENSOR_FAULT) return BAD
  return flags & (WEAK_MAGNET | SUPPLY_LOW) ? UNCERTAIN : GOOD
}

function reportFlags({ out }: DecodeFrame, memory: Memory, row: number): void {
  memory.flags = sample.flags
  out.device.items[row] = { kind: 'flags', flags: sample.flags }
  out.device.count++
}

function readOther(frame: DecodeFrame, memory: Memory, row: number, text: string): Quality {
  const decoded = decodeLine(text)
  if (decoded.ok && decoded.sentence.kind === 'axes') {
    takeAxes(decoded.sentence)
    return takeReading(frame, memory, row)
  }
  const { answered } = memory
  memory.answered = decoded.ok && isOkToIdentify(decoded.sentence)
  if (!decoded.ok) report(frame, row, { reason: decoded.reason })
  else if (decoded.sentence.kind === 'hello')
    takeHello(frame, memory, row, decoded.sentence, !answered)
  else takeSentence(frame, memory, row, decoded.sentence)
  return NONE
}

function takeAxes({ sequence, tickUs, flags, x, y, z }: Extract<Sentence, { kind: 'axes' }>): void {
  sample.sequence = sequence
  sample.tickUs = tickUs
  sample.flags = flags
  axes.x = x
  axes.y = y
  axes.z = z
  axes.isRead = true
}

const isOkToIdentify = (sentence: Sentence) =>
  sentence.kind === 'answer' &&
  sentence.ok &&
  (sentence.command === IDENTIFY_COMMAND || sentence.command === LINK_IDENTIFY_COMMAND)

function takeHello(
  { out }: DecodeFrame,
  memory: Memory,
  row: number,
  hello: Hello,
  start: boolean,
): void {
  memory.countsPerTurn = hello.countsPerTurn
  memory.protocol = hello.protocol
  memory.sequence = -1
  out.device.items[row] = { ...hello, start }
  out.device.count++
}

function takeSentence(
  frame: DecodeFrame,
  memory: Memory,
  row: number,
  sentence: Exclude<Sentence, Hello>,
): void {
  switch (sentence.kind) {
    case 'event':
      if (!isNew(frame, memory, row, sentence.sequence, sentence.tickUs)) return
      break
    case 'status':
    case 'answer':
    case 'clock-reply':
      break
    default:
      // A sentence for devices, come back: an echo on the wire, or two hosts on one bus.
      report(frame, row, { reason: 'unknown sentence' })
      return
  }
  frame.out.device.items[row] = sentence
  frame.out.device.count++
}

/** Follows the sequence, which samples, axes and events share. @returns false for a line sent twice. */
function isNew(
  frame: DecodeFrame,
  memory: Memory,
  row: number,
  sequence: number,
  tickUs: number,
): boolean {
  const any = memory.sequence < 0
  const ahead = (sequence - memory.sequence + SEQUENCES) % SEQUENCES
  if (!any && ahead === 0 && tickUs === memory.tickUs) {
    report(frame, row, { reason: 'duplicate' })
    return false
  }
  // No step, or more than half of the circle: a restart that was not heard, and how much is missing is unknown.
  const known = ahead > 0 && ahead <= SEQUENCES / 2
  if (!any && ahead !== 1) report(frame, row, { reason: 'gap', missing: known ? ahead - 1 : 1 })
  memory.sequence = sequence
  memory.tickUs = tickUs
  return true
}

function report({ out }: DecodeFrame, row: number, trouble: LineTrouble): void {
  out.trouble.items[row] = trouble
  out.trouble.count++
}
