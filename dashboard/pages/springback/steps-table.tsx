import type { SpringbackView } from '../../../server/messages/springback.ts'
import { words } from '../../words/en.ts'
import { degrees } from '../../words/format.ts'
import { wantedText } from './wanted-text.ts'

const { steps: say } = words.springback

/** How what is known came together, from the section's mechanics to its own bends. */
export function StepsTable({ view }: { view: SpringbackView }) {
  return (
    <section>
      <h2>{say.title}</h2>
      <p class="springback-note">{say.intro(wantedText(view.wantedDeg))}</p>
      <div class="table-scroll">
        <table class="steps" aria-label={say.title}>
          <thead>
            <tr>
              <th scope="col">{say.from}</th>
              <th scope="col" class="number">
                {say.bends}
              </th>
              <th scope="col" class="number">
                {say.springback}
              </th>
              <th scope="col" class="number wide">
                {say.within}
              </th>
            </tr>
          </thead>
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
