import type { Act } from '../../../server/messages/acts.ts'
import type { Bend } from '../../../server/messages/bends.ts'
import { inspected } from '../../../server/quality/inspection.ts'
import { settings } from '../../live/settings.ts'
import { words } from '../../words/en.ts'
import { length } from '../../words/format.ts'

const { inspection: say } = words

type Figures = ReturnType<typeof inspected>
type Inspection = Act<'inspection'>

const standing = (within: boolean | null, limit: string, code: string) => {
  if (within === null) return say.noLimit
  return within ? say.within(limit, code) : say.outside(limit, code)
}

const mm = (value: number | null) => (value === null ? '' : length(value, settings.unit.value))

function ovalityOf({ largestOdMm, smallestOdMm, limits }: Inspection, { ovality }: Figures) {
  if (ovality === null) return null
  const { by, value, limit, within } = ovality
  const figure = say.ovality(value.toFixed(by === 'ratio' ? 3 : 2), by)
  const most = by === 'ratio' ? `${limit}` : `${limit} %`
  return `${figure} (${say.diameters(mm(largestOdMm), mm(smallestOdMm))}): ${standing(within, most, limits?.code ?? '')}`
}

function wallOf({ wallMm, limits }: Inspection, { thinning }: Figures) {
  if (thinning === null) return null
  const { value, limit, within } = thinning
  const figure = say.thinning(mm(wallMm), value.toFixed(1))
  return `${figure}: ${standing(within, `${limit} %`, limits?.code ?? '')}`
}

function looksOf({ looks, flaws }: Inspection) {
  if (looks === null) return null
  if (looks === 'good') return say.good
  return say.flawed(flaws.map((flaw) => say.flaws[flaw]).join(', '))
}

/** What an inspection found, each figure with its limit. */
export function InspectionText({ act, bend }: { act: Inspection; bend: Bend }) {
  const figures = inspected(act, bend.tube)
  const said = [ovalityOf(act, figures), wallOf(act, figures), looksOf(act)]
  const isOutside = figures.ovality?.within === false || figures.thinning?.within === false
  return (
    <>
      <ul class="inspected" data-outside={isOutside || act.looks === 'flawed'}>
        {said.map((line) => line && <li key={line}>{line}</li>)}
      </ul>
      <p>{say.measuredWith(act.gauge)}</p>
      {act.remark !== null && (
        <p class="own-words" dir="auto">
          {act.remark}
        </p>
      )}
    </>
  )
}
