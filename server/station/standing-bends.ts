import type { History } from '../history/history.ts'
import type { Act } from '../messages/acts.ts'
import { standingText } from '../messages/bend-standing.ts'
import type { Bend } from '../messages/bends.ts'
import type { CertificateAsk } from '../messages/certificate.ts'
import type { BendFilter } from '../messages/find.ts'

const PAGE_ROWS = 500

/** A bend with what was done about it. */
export interface Known {
  readonly bend: Bend
  readonly acts: readonly Act[]
}

/** Every bend that a filter finds, as recorded or as amended, oldest first. */
export function* bendsFound(
  history: Pick<History, 'page' | 'bend'>,
  filter: BendFilter,
): Generator<Bend> {
  for (let after: number | null = 0; after !== null; ) {
    const from = after === 0 ? {} : { after }
    const page = history.page({ ...filter, ...from, order: 'oldest', limit: PAGE_ROWS })
    for (const { id } of page.bends) {
      const bend = history.bend(id)
      if (bend !== null) yield bend
    }
    after = page.nextAfter
  }
}

/** True of a bend that is of that part, piece and lot by now, after amendments; what is not asked for may be any. */
export const standsIn = ({ bend, acts }: Known, ask: CertificateAsk): boolean =>
  (['part', 'piece', 'lot'] as const).every(
    (field) => ask[field] === undefined || standingText(bend, acts, field) === String(ask[field]),
  )
