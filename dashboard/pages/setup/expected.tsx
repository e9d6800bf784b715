import type { FirstBend, FirstBendAsk } from '../../../server/messages/first-bend.ts'
import { api, sentenceOf } from '../../live/api.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { useSettled } from '../../live/use-settled.ts'
import { words } from '../../words/en.ts'
import { degrees, fixed } from '../../words/format.ts'
import type { Texts } from './fields.ts'
import { firstBendAsk } from './first-bend-ask.ts'

const { expected: say } = words.material

/** Typing goes on with less than this between two letters, ms. */
const TYPING_MS = 300

interface Said {
  /** The question that was answered. */
  readonly question: string
  readonly bend: FirstBend | null
  readonly problem: string | null
}

async function answerTo(question: string): Promise<Said> {
  const ask = JSON.parse(question) as FirstBendAsk | null
  try {
    return { question, bend: ask === null ? null : await api.firstBend(ask), problem: null }
  } catch (error) {
    return { question, bend: null, problem: sentenceOf(error) }
  }
}

const percent = (fraction: number) => fixed(100 * fraction, 0)

function Springback({ bend }: { bend: FirstBend }) {
  const { springbackDeg, lowDeg, highDeg, loadedDeg } = bend
  if (springbackDeg === null || lowDeg === null || highDeg === null || loadedDeg === null)
    return <p class="expected-line">{bend.note}</p>
  const [middle, low, high, loaded] = [springbackDeg, lowDeg, highDeg, loadedDeg] as const
  return (
    <>
      <p class="expected-line">
        {say.atNinety}{' '}
        {say.springback(degrees(middle), degrees(low), degrees(high), degrees(loaded))}
      </p>
      <p class="field-help">{say.rests}</p>
    </>
  )
}

function Section({ bend: { estimates, warnings, loadedDeg } }: { bend: FirstBend }) {
  const { radiusRatio, outerStretch, thinningLow, thinningHigh, ovality } = estimates
  // Of a tube that takes no set there is one thing to say, and it was said.
  if (loadedDeg === null) return null
  return (
    <>
      <ul class="expected-warnings">
        {warnings.length === 0 && <li>{say.noWarnings}</li>}
        {warnings.map(({ code, sentence, source }) => (
          <li key={code} class="expected-warning">
            <strong>{say.beware}</strong> {sentence}{' '}
            <span class="expected-source">{say.source(source)}</span>
          </li>
        ))}
      </ul>
      <p class="field-help">
        {say.section(
          fixed(radiusRatio, 1),
          percent(outerStretch),
          percent(thinningLow),
          percent(thinningHigh),
          percent(ovality),
        )}
      </p>
    </>
  )
}

/**
 * What the numbers foretell before any tube is cut: springback with its interval, estimates, warnings. Dimmed
 * while it is about what stood in the form a moment ago.
 */
export function Expected({ texts, unit }: { texts: Texts; unit: 'mm' | 'in' }) {
  const ask = JSON.stringify(firstBendAsk(texts, unit))
  const settled = useSettled(ask, TYPING_MS)
  const said = useAnswer(settled, () => answerTo(settled)).value
  const isToFill = ask === 'null'
  return (
    <section class="expected" aria-labelledby="expected-title">
      <h2 id="expected-title">{say.title}</h2>
      <div role="status" data-old={said?.question === ask ? undefined : 'yes'}>
        {isToFill && <p>{say.fillIn}</p>}
        {!isToFill && !(said?.bend || said?.problem) && <p>{say.wait}</p>}
        {!isToFill && said?.problem && <p class="expected-refused">{said.problem}</p>}
        {!isToFill && said?.bend && <Springback bend={said.bend} />}
        {!isToFill && said?.bend && <Section bend={said.bend} />}
      </div>
    </section>
  )
}
