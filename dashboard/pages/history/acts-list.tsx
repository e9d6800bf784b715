import type { Act } from '../../../server/messages/acts.ts'
import { api } from '../../live/api.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { words } from '../../words/en.ts'
import { moment } from '../../words/format.ts'

const { record: say } = words

function ActRow({ act }: { act: Act }) {
  return (
    <tr>
      <td class="number">{act.id}</td>
      <td>{moment(act.at)}</td>
      <td>{act.who}</td>
      <td>{say.decisions[act.decision]}</td>
      <td class="prose">{act.reason}</td>
    </tr>
  )
}

/** What people did about a bend after it was recorded; nothing where nobody did anything. */
export function ActsList({ bendId }: { bendId: number }) {
  const { value, problem } = useAnswer(`acts ${bendId}`, () => api.acts(bendId))
  if (problem) return <p class="form-refused">{problem}</p>
  if (!value || value.length === 0) return null
  return (
    <>
      <h2>{say.acts}</h2>
      <div class="table-scroll">
        <table>
          <thead>
            <tr>
              <th scope="col" class="number">
                {say.act}
              </th>
              <th scope="col">{say.when}</th>
              <th scope="col">{say.who}</th>
              <th scope="col">{say.decided}</th>
              <th scope="col">{say.reason}</th>
            </tr>
          </thead>
          <tbody>
            {value.map((act) => (
              <ActRow key={act.id} act={act} />
            ))}
          </tbody>
        </table>
      </div>
    </>
  )
}
