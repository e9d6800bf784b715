import { decodeLine } from '../../firmware-protocol/codec/decode.ts'
import { decodeSampleInto, type SampleTarget } from '../../firmware-protocol/codec/sample.ts'
import type { Sentence } from '../../firmware-protocol/codec/sentence.ts'
import { defineBlock, type Frame, item, number } from '../chain/block.ts'
import { BAD, GOOD, NONE, type Quality, UNCERTAIN } from '../chain/column.ts'
import type { RawLine } from '../chain/raw-line.ts'
import { strict } from '../chain/strict.ts'
import type { DeviceReport, LineTrouble } from './device-report.ts'

const SENSOR_FAULT = 1
const WEAK_MAGNET = 2
const SUPPLY_LOW = 4
/** Sequence numbers go from 0 to 65535 and round again. */
const SEQUENCES = 65_536

const inputs = { line: item<RawLine>('raw-line', 'Lines; only those of the device are read.') }
const outputs = {
  counts: number('count', 'Counts of the angle sensor, as sent.'),
  tick: number('count', 'Device microseconds, 0 to 2^32 − 1, as sent.'),
  countsPerTurn: number('count', 'Counts for one turn, once the board has said so.'),
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
}

/** Filled by the codec for each line and read at once: never kept, so it is no part of any memory. */
const sample: SampleTarget = { sequence: 0, tickUs: 0, counts: 0, flags: 0, second: null }

/**
 * Reads the native protocol. A refused line, a gap in the sequence or a line sent twice never stops the
 * stream; each is reported on `trouble`. A sample's flags become its quality: a sensor fault makes it bad, a
 * weak magnet or a low supply uncertain.
 */
export const decode = defineBlock({
  kind: 'decode',
  summary: 'Reads the native protocol: counts, ticks and what else the device says.',
  parameters: strict({}),
  inputs,
  outputs,
  start: (): Memory => ({ sequence: -1, tickUs: 0, countsPerTurn: 0, flags: 0 }),
  step(frame, memory, _, rows) {
    const { counts, tick, countsPerTurn } = frame.out
    const { items } = frame.in.line
    for (let row = 0; row < rows; row++) {
      const line = items[row]
      let quality: Quality = NONE
      if (line?.from === 'device') {
        if (!decodeSampleInto(line.text, sample)) readOther(frame, memory, row, line.text)
        else if (isNew(frame, memory, row, sample.sequence, sample.tickUs)) {
          quality = qualityOf(sample.flags)
          if (sample.flags !== memory.flags) reportFlags(frame, memory, row)
        }
      }
      counts.value[row] = sample.counts
      tick.value[row] = sample.tickUs
      counts.quality[row] = quality
      tick.quality[row] = quality === NONE ? NONE : GOOD
      countsPerTurn.value[row] = memory.countsPerTurn
      countsPerTurn.quality[row] = memory.countsPerTurn > 0 ? GOOD : NONE
    }
  },
})

type DecodeFrame = Frame<typeof inputs, typeof outputs>

function qualityOf(flags: number): Quality {
  if (flags & SENSOR_FAULT) return BAD
  return flags & (WEAK_MAGNET | SUPPLY_LOW) ? UNCERTAIN : GOOD
}

function reportFlags({ out }: DecodeFrame, memory: Memory, row: number): void {
  memory.flags = sample.flags
  out.device.items[row] = { kind: 'flags', flags: sample.flags }
  out.device.count++
}

function readOther(frame: DecodeFrame, memory: Memory, row: number, text: string): void {
  const decoded = decodeLine(text)
  if (!decoded.ok) report(frame, row, { reason: decoded.reason })
  else takeSentence(frame, memory, row, decoded.sentence)
}

function takeSentence(frame: DecodeFrame, memory: Memory, row: number, sentence: Sentence): void {
  switch (sentence.kind) {
    case 'hello':
      memory.countsPerTurn = sentence.countsPerTurn
      memory.sequence = -1
      break
    case 'axes':
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
  // More than half of the circle is a step back: the board began anew, and what is missing is unknown.
  if (!any && ahead !== 1)
    report(frame, row, { reason: 'gap', missing: ahead <= SEQUENCES / 2 ? ahead - 1 : 1 })
  memory.sequence = sequence
  memory.tickUs = tickUs
  return true
}

function report({ out }: DecodeFrame, row: number, trouble: LineTrouble): void {
  out.trouble.items[row] = trouble
  out.trouble.count++
}
