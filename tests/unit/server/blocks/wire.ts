import { encodeSentence } from '../../../../firmware-protocol/codec/encode.ts'
import type { RawLine } from '../../../../server/chain/raw-line.ts'

export const COUNTS_PER_TURN = 16_384

export const fromDevice = (text: string, arrivalS = 0): RawLine => ({
  arrivalS,
  from: 'device',
  text,
})
export const fromHost = (text: string, arrivalS = 0): RawLine => ({ arrivalS, from: 'host', text })

interface SampleParts {
  sequence?: number
  tickUs?: number
  counts?: number
  flags?: number
}

export const sampleText = ({ sequence = 0, tickUs = 0, counts = 0, flags = 0 }: SampleParts) =>
  encodeSentence({ kind: 'sample', sequence, tickUs, counts, flags, second: null })

interface HelloParts {
  protocol?: number
  board?: string
  sensor?: 'incremental' | 'absolute'
  countsPerTurn?: number
}

export const helloText = ({
  protocol = 1,
  board = 'B1',
  sensor = 'absolute',
  countsPerTurn = COUNTS_PER_TURN,
}: HelloParts = {}) =>
  encodeSentence({
    kind: 'hello',
    protocol,
    firmware: '1.0',
    board,
    sensor,
    countsPerTurn,
    rateHz: 200,
  })

export const answerText = (ok: boolean, command = 1) =>
  encodeSentence({ kind: 'answer', command, ok, reason: ok ? '' : 'busy' })
