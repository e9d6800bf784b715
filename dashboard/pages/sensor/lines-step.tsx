import type { LinkState } from '../../../server/messages/live.ts'
import { words } from '../../words/en.ts'

const { sensor: say } = words

type Count = Exclude<keyof LinkState['counters'], 'lines' | 'samples'>
/** What can be wrong with a line, the commonest first. */
const TROUBLES: readonly Count[] = [
  'badChecksum',
  'malformed',
  'unknown',
  'overlong',
  'gaps',
  'duplicates',
  'reconnects',
]

function Counter({ name, count }: { name: Count; count: number }) {
  const { what, todo } = say.counters[name]
  return (
    <tr data-count={count > 0 ? 'some' : 'none'}>
      <th scope="row">{what}</th>
      <td class="number">{count.toLocaleString('en')}</td>
      <td>{count > 0 ? todo : ''}</td>
    </tr>
  )
}

/** How well lines come through, and what to do about each kind of bad one. */
export function Counters({ link }: { link: LinkState }) {
  const { lines, samples } = link.counters
  return (
    <table class="counters">
      <caption>
        {say.counters.caption(lines.toLocaleString('en'), samples.toLocaleString('en'))}
      </caption>
      <tbody>
        {TROUBLES.map((name) => (
          <Counter key={name} name={name} count={link.counters[name]} />
        ))}
      </tbody>
    </table>
  )
}

export interface SeenLine {
  readonly text: string
  readonly taken: string
}

/** The last lines as they came, newest below, each with what it was taken for. */
export function RawLines({ lines }: { lines: readonly SeenLine[] }) {
  if (lines.length === 0) return <p>{say.lines.none}</p>
  return (
    <ol class="raw-lines" aria-live="off">
      {lines.map(({ text, taken }, index) => (
        <li key={index}>
          <code>{text === '' ? ' ' : text}</code>
          <span>{taken}</span>
        </li>
      ))}
    </ol>
  )
}
