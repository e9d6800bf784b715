import { decodeLine } from '../../firmware-protocol/codec/decode.ts'
import { encodeSentence } from '../../firmware-protocol/codec/encode.ts'
import type { ReceivedLine } from './link.ts'

/** A port under a new name is on trial until its hello shows that it is the same board. */
export interface Trial {
  /** Lines since the opening, for the day they turn out to be ours; the oldest go when it is full. */
  readonly kept: ReceivedLine[]
  readonly untilS: number
}

/** A board that boots is quiet for 2 s; then it has two more to say its name. */
const TRIAL_S = 4
const KEPT_MAX = 256

/** Asks a board for its name. Command 0 is ours: the daemon counts its own from 1. */
export const WHO_ARE_YOU = encodeSentence({ kind: 'identify', command: 0 })

export const beginTrial = (nowS: number): Trial => ({ kept: [], untilS: nowS + TRIAL_S })

/** @returns true or false once a hello has told, null until then. */
export function tryLines(
  trial: Trial,
  lines: readonly ReceivedLine[],
  sameBoard: (board: string) => boolean,
): boolean | null {
  trial.kept.push(...lines)
  trial.kept.splice(0, trial.kept.length - KEPT_MAX)
  for (const { text } of lines) {
    const decoded = decodeLine(text)
    if (decoded.ok && decoded.sentence.kind === 'hello') return sameBoard(decoded.sentence.board)
  }
  return null
}
