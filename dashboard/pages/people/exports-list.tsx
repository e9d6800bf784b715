import type { LoggedExport } from '../../../server/messages/exports.ts'
import { api } from '../../live/api.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { exportsWords as say } from '../../words/en-exports.ts'
import { moment } from '../../words/format.ts'

/** Which bends it was about; a press looks for them again. */
function Which({ filter }: Pick<LoggedExport, 'filter'>) {
  const conditions = Object.entries(filter).map(([name, value]) => [name, String(value)])
  if (conditions.length === 0) return <>{say.all}</>
  return (
    <a class="plain" href={`#/history?${new URLSearchParams(conditions)}`}>
      <bdi>{conditions.map((condition) => condition.join(' ')).join(', ')}</bdi>
    </a>
  )
}

const Row = ({ one }: { one: LoggedExport }) => (
  <tr>
    <td>{one.id}</td>
    <td>{moment(one.at)}</td>
    <td>{one.who === null ? say.nobody : <bdi>{one.who}</bdi>}</td>
    <td>{one.device}</td>
    <td>{say.formats[one.format]}</td>
    <td>
      <Which filter={one.filter} />
    </td>
    <td class="number">{one.records}</td>
  </tr>
)

/** What left as a file, from the log that nobody edits. */
export function ExportsList() {
  const { value, problem } = useAnswer('exports', api.exportsLogged)
  if (problem) return <p class="form-refused">{problem}</p>
  return (
    <>
      <h2>{say.title}</h2>
      <p class="desk-intro">{say.help}</p>
      {value?.length === 0 && <p>{say.none}</p>}
      {value && value.length > 0 && (
        <div class="table-scroll">
          <table>
            <thead>
              <tr>
                <th scope="col">{say.number}</th>
                <th scope="col">{say.when}</th>
                <th scope="col">{say.who}</th>
                <th scope="col">{say.device}</th>
                <th scope="col">{say.what}</th>
                <th scope="col">{say.which}</th>
                <th scope="col" class="number">
                  {say.count}
                </th>
              </tr>
            </thead>
            <tbody>
              {value.map((one) => (
                <Row key={one.id} one={one} />
              ))}
            </tbody>
          </table>
        </div>
      )}
    </>
  )
}
