import { setImmediate } from 'node:timers/promises'
import type { BendDraft } from '../bend/bend-draft.ts'
import type { BendMessage } from '../blocks/bend-record.ts'
import type { LiveRun } from '../blocks/live-feed.ts'
import type { Block } from '../chain/block.ts'
import { type Chain, compileChain } from '../chain/chain.ts'
import type { ChainFile } from '../chain/chain-file.ts'
import { ChainRefused } from '../chain/chain-refused.ts'
import type { History, RawRecord } from '../history/history.ts'
import type { BendTrace } from '../messages/bends.ts'
import { Refused } from '../web/station-door.ts'
import { millionths } from './coach.ts'
import { parseRawLine } from './raw-log.ts'

/** What a stored bend's lines give when they are run again from where the chain stood. */
export interface Rerun {
  /** The bends that these lines close, as drafted: the last is the one they were kept for. */
  readonly drafts: readonly BendDraft[]
  /** When the stop was called last, seconds from the last datum; null where it was not. */
  readonly cueS: number | null
  readonly trace: BendTrace
}

/** Traces are shown, not measured: this many points are more than a wide screen has columns. */
const TRACE_POINTS_MAX = 4000
/** A few milliseconds of work: live samples get their turn between. How lines are shared out changes no result. */
const LINES_A_PUSH = 256

function chainOf(raw: RawRecord, blocks: readonly Block[], other: ChainFile | undefined): Chain {
  const chain = compileChain(other ?? JSON.parse(raw.chain), blocks)
  if (other === undefined) chain.restore(raw.snapshot)
  else chain.adopt(raw.snapshot)
  return chain
}

/**
 * @param blocks The catalogue.
 * @param other Another chain than the one it was recorded with; what that remembered is taken over as far as it fits.
 * @throws ChainRefused for a chain or snapshot that this version cannot run.
 */
export async function rerun(
  raw: RawRecord,
  blocks: readonly Block[],
  other?: ChainFile,
): Promise<Rerun> {
  const chain = chainOf(raw, blocks, other)
  const drafts: BendDraft[] = []
  let calledS: number | null = null
  const timeS: number[] = []
  const angleDeg: number[] = []
  chain.on('bend', (given) => {
    const message = given as BendMessage
    if (message.type === 'draft') drafts.push(message.draft)
    if (message.type === 'cue' && message.event.cue === 'stop') calledS = message.event.timeS
  })
  chain.on('live', (given) => {
    const run = given as LiveRun
    timeS.push(...run.timeS)
    angleDeg.push(...run.angleDeg)
  })
  const lines = raw.lines.map(parseRawLine).filter((line) => line !== null)
  for (let from = 0; from < lines.length; from += LINES_A_PUSH) {
    chain.push(lines.slice(from, from + LINES_A_PUSH))
    await setImmediate()
  }
  const last = drafts.at(-1)
  const trace = thinned(timeS, angleDeg, last)
  return { drafts, cueS: cueWithin(last, calledS), trace }
}

function cueWithin(draft: BendDraft | undefined, calledS: number | null): number | null {
  if (draft === undefined || calledS === null || !(calledS >= draft.startedAtS)) return null
  return millionths(calledS - draft.startedAtS)
}

/** An old record may hold a chain that is no more, or a text that is none: its reader is told so, in one sentence. */
export function refuseRerun(bendId: number, error: unknown): never {
  if (!(error instanceof ChainRefused || error instanceof SyntaxError)) throw error
  const why = error.message.replace(/\.$/, '')
  throw new Refused(
    'no-rerun',
    `Bend ${bendId} cannot be run again by this version (${why}); its raw lines are kept.`,
  )
}

/** From the datum to the close. Neither need stand in the lines: a datum may be older, a close another datum. */
function thinned(timeS: number[], angleDeg: number[], draft: BendDraft | undefined): BendTrace {
  const trace: BendTrace = { tS: [], angleDeg: [] }
  if (draft === undefined) return trace
  const { startedAtS, finishedAtS } = draft
  // The sample of the datum itself still shows the readout before it.
  const first = timeS.findIndex((time) => time > startedAtS)
  const last = timeS.findLastIndex((time) => time <= finishedAtS)
  if (first < 0) return trace
  const step = Math.max(1, Math.ceil((last + 1 - first) / TRACE_POINTS_MAX))
  for (let place = first; place <= last; place += step) {
    trace.tS.push(millionths((timeS[place] ?? 0) - startedAtS))
    trace.angleDeg.push(millionths(angleDeg[place] ?? 0))
  }
  return trace
}

/** @returns the trace of a recorded bend; null when there is no such bend. @throws Refused `no-rerun`. */
export async function traceOf(
  history: Pick<History, 'raw'>,
  blocks: readonly Block[],
  bendId: number,
): Promise<BendTrace | null> {
  const raw = history.raw(bendId)
  if (raw === null) return null
  if (raw.lines.length === 0) return { tS: [], angleDeg: [] }
  return (await rerun(raw, blocks).catch((error: unknown) => refuseRerun(bendId, error))).trace
}
