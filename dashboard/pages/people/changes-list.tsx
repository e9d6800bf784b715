import type { PersonChange } from '../../../server/messages/people.ts'
import { TableHead } from '../../widgets/table-head.tsx'
import { words } from '../../words/en.ts'
import { moment } from '../../words/format.ts'

const { people } = words
const say = people.log

const Row = ({ one }: { one: PersonChange }) => (
  <tr>
    <td>{one.id}</td>
    <td>{moment(one.at)}</td>
    <td class="prose">
      <bdi>{one.who}</bdi>
      {one.whoKnownBy === 'typed' && ` (${say.typed})`}
    </td>
    <td class="prose">
      <bdi>{one.person}</bdi>
    </td>
    <td class="prose">{say.done[one.change](people.roles[one.role])}</td>
    <td class="prose">
      <bdi>{one.reason}</bdi>
    </td>
  </tr>
)

/** Who was given which role, by whom, when and why, from the log of people. */
export const ChangesList = ({ changes }: { changes: readonly PersonChange[] }) => (
  <>
    <h2>{say.title}</h2>
    <p class="desk-intro">{say.help}</p>
    <div class="table-scroll">
      <table class="bends" aria-label={say.title}>
        <TableHead heads={[say.number, say.when, say.who, say.whom, say.what, say.why]} />
        <tbody>
          {changes.toReversed().map((one) => (
            <Row key={one.id} one={one} />
          ))}
        </tbody>
      </table>
    </div>
  </>
)
