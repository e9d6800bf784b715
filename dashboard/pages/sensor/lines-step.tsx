import { useState } from 'preact/hooks'
import type { LinkState } from '../../../server/messages/live.ts'
import type { RecentLine } from '../../../server/messages/wire.ts'
import { api } from '../../live/api.ts'
import { useRepeated } from '../../live/use-repeated.ts'
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

/** Faster than this nobody reads; slower looks as if the wire paused. */
const LINES_EVERY_MS = 400
const LINES_SHOWN = 12

function useLines() {
  const [lines, setLines] = useState<readonly RecentLine[]>([])
  useRepeated(async () => {
    try {
      setLines((await api.wireLines()).slice(-LINES_SHOWN))
    } catch {
      // The page says in its own place that it lost the program; the last lines stay.
    }
  }, LINES_EVERY_MS)
  return lines
}

/** The last lines as they came, newest below, each with what it was taken for. */
export function RawLines() {
  const lines = useLines()
  if (lines.length === 0) return <p>{say.lines.none}</p>
  return (
    <section aria-label={say.lines.arriving}>
      <ol class="raw-lines" aria-live="off">
        {lines.map(({ arrivalS, text, ok, taken }, index) => (
          <li key={`${arrivalS} ${index}`} data-ok={ok ? 'yes' : 'no'}>
            <code>{text}</code>
            <span>{taken}</span>
          </li>
        ))}
      </ol>
    </section>
  )
}
