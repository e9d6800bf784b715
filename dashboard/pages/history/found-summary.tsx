import type { BendSummary } from '../../../server/messages/find.ts'
import { focusSoon, STATUS_LINE } from '../../live/focus-soon.ts'
import { findWords } from '../../words/en-find.ts'
import { degrees, moment, signedDegrees } from '../../words/format.ts'
import { type FilterName, isFilterName } from './filter-address.ts'

const say = findWords.summary

function partsOf(summary: BendSummary): readonly string[] {
  const { verdicts, earliest, latest, meanOffDeg, sdOffDeg } = summary
  const parts = [say.verdicts(verdicts.in, verdicts.under, verdicts.over, verdicts.incomplete)]
  if (summary.void > 0) parts.push(say.void(summary.void))
  if (meanOffDeg !== null) parts.push(say.mean(signedDegrees(meanOffDeg, 2), summary.measured))
  if (sdOffDeg !== null) parts.push(say.spread(degrees(sdOffDeg, 2)))
  if (earliest !== null && latest !== null) parts.push(say.span(moment(earliest), moment(latest)))
  return parts
}

/** What all that was found has in common; where nothing was, which single condition to drop. */
export function FoundSummary(props: { summary: BendSummary; onDrop: (name: FilterName) => void }) {
  const { summary, onDrop } = props
  if (summary.total > 0) return <p class="found-summary">{partsOf(summary).join(' · ')}</p>
  const ways = summary.without.filter(({ total }) => total > 0)
  return (
    <p class="conditions">
      {ways.map(
        ({ name, total }) =>
          isFilterName(name) && (
            <button
              key={name}
              type="button"
              class="plain"
              onClick={() => {
                onDrop(name)
                focusSoon(STATUS_LINE)
              }}
            >
              {say.without(findWords[name], total)}
            </button>
          ),
      )}
    </p>
  )
}
