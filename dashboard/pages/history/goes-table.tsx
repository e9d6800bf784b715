import type { Go } from '../../../server/messages/bends.ts'
import { numberHead, TableHead } from '../../widgets/table-head.tsx'
import { words } from '../../words/en.ts'
import { degrees } from '../../words/format.ts'

const { record: say } = words

const angle = (deg: number | null) => (deg === null ? words.facts.none : degrees(deg, 2))

/** Each go at the bend: where it was to stop, where it was called, how far it went, what remained. */
export function GoesTable({ goes }: { goes: readonly Go[] }) {
  const heads = [say.go, say.stop, say.cue, say.peak, say.released, say.strokes]
  return (
    <div class="table-scroll">
      <table aria-label={say.goes}>
        <TableHead heads={heads.map(numberHead)} />
        <tbody>
          {goes.map((go, i) => (
            <tr key={go.peakAtS}>
              <td class="number">{i + 1}</td>
              <td class="number">{angle(go.commandedDeg)}</td>
              <td class="number">{angle(go.cueDeg)}</td>
              <td class="number">{angle(go.peakDeg)}</td>
              <td class="number">{angle(go.releasedDeg)}</td>
              <td class="number">{go.strokes}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}
