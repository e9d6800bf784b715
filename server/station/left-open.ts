import { priorFor } from '../bend/springback.ts'
import { materialOfTube } from '../bend/tube-metal.ts'
import type { History, RawRecord } from '../history/history.ts'
import { isoWithOffset } from '../history/iso-time.ts'
import type { Bend, NewBend } from '../messages/bends.ts'
import { FIRST_LEAD_S } from './lead.ts'
import { incompleteBend } from './record.ts'

export const NO_LINES: RawRecord = { chain: '', snapshot: '', lines: [] }

interface Report {
  readonly history: Pick<History, 'leftOpen' | 'setups'>
  readonly software: string
  readonly chainRevision: string
  readonly wallMs: number
}

/** The bend that a crash or a power cut left open, as an incomplete one; null when none was. */
export function leftOpenBend(report: Report): NewBend | null {
  const { history, software, chainRevision, wallMs } = report
  const open = history.leftOpen()
  if (open === null) return null
  const setup = history.setups().find(({ id }) => id === open.setupId)
  if (setup === undefined) return null
  const { die, tube } = setup.setup
  const section = { odMm: tube.odMm, wallMm: tube.wallMm, clrMm: die.clrMm }
  return incompleteBend(
    {
      setup,
      job: open.job,
      model: priorFor(section, materialOfTube(tube)),
      leadS: open.leadS ?? FIRST_LEAD_S,
      chainRevision,
      firmware: null,
      software,
      simulated: open.simulated,
      readout: null,
    },
    { startedAt: open.startedAt, finishedAt: isoWithOffset(wallMs), closedBy: 'restart' },
  )
}

const nameOf = ({ part, piece, bendNumber }: NewBend['job']) =>
  `Bend ${bendNumber} of ${part}, piece ${piece},`

export const leftOpenSentence = ({ id, job }: Bend): string =>
  `${nameOf(job)} was cut off by a restart: recorded as number ${id}.`

/** What ends a bend though nobody at the bender did, in the words of the record. */
const CUT_OFF_BY: Readonly<Record<string, string>> = {
  'link lost': 'the board lost its zero',
  'counts lost': 'counts of the encoder were lost',
  'let off while no samples came': 'it was let off while no samples came',
  'open for too long': 'it was open for too long',
}

/** What the page says of a bend that was cut off; null for one that was ended by whoever bends. */
export function cutOffSentence({ job, closedBy, verdict }: NewBend): string | null {
  const why = CUT_OFF_BY[closedBy]
  if (why === undefined || verdict !== 'incomplete') return null
  return `${nameOf(job)} is incomplete: ${why}.`
}
