import type { SpringbackView } from '../../../server/messages/springback.ts'
import { numberHead, TableHead } from '../../widgets/table-head.tsx'
import { words } from '../../words/en.ts'
import { askedDegrees, degrees } from '../../words/format.ts'

const { steps: say } = words.springback

/** How what is known came together, from the section's mechanics to its own bends. */
export function StepsTable({ view }: { view: SpringbackView }) {
  return (
    <section>
      <h2>{say.title}</h2>
      <p class="springback-note">{say.intro(askedDegrees(view.wantedDeg, 0))}</p>
      <div class="table-scroll">
        <table class="steps" aria-label={say.title}>
          <TableHead
            heads={[
              say.from,
              numberHead(say.bends),
              numberHead(say.springback),
              { name: say.within, kind: 'number wide' },
            ]}
          />
          <tbody>
            {view.steps.map(({ level, bends, springbackDeg, lowDeg, highDeg }) => (
              <tr key={level}>
                <td class="prose">{say.levels[level]}</td>
                <td class="number">{level === 'mechanics' ? words.facts.none : bends}</td>
                <td class="number">
                  {degrees(springbackDeg, 2)}
                  <span class="under-it narrow-only">
                    {degrees(lowDeg, 1)} … {degrees(highDeg, 1)}
                  </span>
                </td>
                <td class="number wide">
                  {degrees(lowDeg, 1)} … {degrees(highDeg, 1)}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  )
}
