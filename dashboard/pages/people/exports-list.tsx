import type { LoggedExport } from '../../../server/messages/exports.ts'
import { api } from '../../live/api.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { numberHead, TableHead } from '../../widgets/table-head.tsx'
import { exportsWords as say } from '../../words/en-exports.ts'
import { findWords } from '../../words/en-find.ts'
import { moment } from '../../words/format.ts'
import { conditionText } from '../history/condition-text.ts'
import { isFilterName } from '../history/filter-address.ts'

/** One of another version's conditions stands as it was logged. */
const asRead = (name: string, value: string) =>
  isFilterName(name)
    ? { label: findWords[name], text: conditionText(name, value) }
    : { label: name, text: value }

/** Which bends it was about; a press looks for them again. */
function Which({ filter }: Pick<LoggedExport, 'filter'>) {
  const conditions = Object.entries(filter).map(([name, value]) => [name, String(value)] as const)
  if (conditions.length === 0) return <>{say.all}</>
  const query = new URLSearchParams(conditions.map((condition) => [...condition]))
  return (
    <a class="row-link" href={`#/history?${query}`}>
      {conditions.map(([name, value], at) => {
        const { label, text } = asRead(name, value)
        return (
          <span key={name}>
            {at > 0 && ', '}
            {label}: <bdi>{text}</bdi>
          </span>
        )
      })}
    </a>
  )
}

const Row = ({ one }: { one: LoggedExport }) => (
  <tr>
    <td>{one.id}</td>
    <td>{moment(one.at)}</td>
    <td class="prose">{one.who === null ? say.nobody : <bdi>{one.who}</bdi>}</td>
    <td>{one.device}</td>
    <td>{say.formats[one.format]}</td>
    <td class="prose">
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
          <table class="bends" aria-label={say.title}>
            <TableHead
              heads={[
                ...[say.number, say.when, say.who, say.device, say.what, say.which],
                numberHead(say.count),
              ]}
            />
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
