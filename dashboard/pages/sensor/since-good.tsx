import type { ReadoutDoubt } from '../../../server/messages/readout.ts'
import { api } from '../../live/api.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { sinceGoodWords as say } from '../../words/en-since-good.ts'
import { moment } from '../../words/format.ts'
import { sinceGood } from './since-good.ts'

/** After a failed check: which bends it puts in doubt, and of how many nobody has said what becomes of them. */
export function SinceGood({ station, doubt }: { station: string; doubt: ReadoutDoubt }) {
  const { value, problem } = useAnswer(`since ${station} ${doubt.failedAt}`, async () => {
    const since = sinceGood(station, doubt)
    const [all, open] = await Promise.all([api.bendSummary(since.all), api.bendSummary(since.open)])
    return { ...since, bends: all.total, undecided: open.total }
  })
  if (problem) return <p class="form-refused">{problem}</p>
  if (!value) return null
  const { bends, undecided, from, open } = value
  return (
    <>
      <p class="step-state" role="status">
        {from === null ? say.never(bends, undecided) : say.since(moment(from), bends, undecided)}
      </p>
      {undecided > 0 && (
        <p class="buttons">
          <a class="plain" href={`#/history?${open}`}>
            {say.show}
          </a>
        </p>
      )}
    </>
  )
}
