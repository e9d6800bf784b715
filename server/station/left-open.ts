import { materialOf } from '../bend/materials.ts'
import { priorFor } from '../bend/springback.ts'
import type { History, RawRecord } from '../history/history.ts'
import { incompleteBend } from './record.ts'
import { isoWithOffset } from './wall-time.ts'

const NO_LINES: RawRecord = { chain: '', snapshot: '', lines: [] }

interface Report {
  readonly history: History
  readonly software: string
  readonly chainRevision: string
  readonly leadS: number
  readonly wallMs: number
}

/**
 * Puts a bend that a crash or a power cut left open into the history, as incomplete.
 * @returns the sentence for the page; null when nothing was left open.
 */
export function reportLeftOpen(report: Report): string | null {
  const { history, software, chainRevision, leadS, wallMs } = report
  const open = history.leftOpen()
  if (open === null) return null
  const setup = history.setups().find(({ id }) => id === open.setupId)
  if (setup === undefined) return null
  const { die, tube } = setup.setup
  const section = { odMm: tube.odMm, wallMm: tube.wallMm, clrMm: die.clrMm }
  const bend = incompleteBend(
    {
      setup,
      job: open.job,
      model: priorFor(section, materialOf(tube.material)),
      leadS,
      chainRevision,
      firmware: null,
      software,
      simulated: open.simulated,
    },
    { startedAt: open.startedAt, finishedAt: isoWithOffset(wallMs), closedBy: 'restart' },
  )
  const { id } = history.append(bend, NO_LINES)
  const { part, piece, bendNumber } = open.job
  return `Bend ${bendNumber} of ${part}, piece ${piece}, was cut off by a restart: recorded as number ${id}.`
}
