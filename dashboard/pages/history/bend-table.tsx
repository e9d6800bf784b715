import type { BendRow } from '../../../server/messages/bends.ts'
import { Verdict } from '../../widgets/verdict.tsx'
import { words } from '../../words/en.ts'
import { degrees, moment, signedDegrees } from '../../words/format.ts'

const { history: say } = words

const angle = (deg: number | null) => (deg === null ? words.facts.none : degrees(deg, 2))

function offBy({ releasedDeg, wantedDeg }: BendRow): string {
  return releasedDeg === null ? words.facts.none : signedDegrees(releasedDeg - wantedDeg, 2)
}

const HEADS = [
  say.number,
  say.verdict,
  say.when,
  say.part,
  say.piece,
  say.bend,
  say.lot,
  say.operator,
  say.wanted,
  say.stopAt,
  say.peak,
  say.released,
  say.off,
  say.goes,
]
/** From here the columns are numbers. */
const FIRST_ANGLE = HEADS.indexOf(say.wanted)

function Row({ row }: { row: BendRow }) {
  return (
    <tr>
      <td>
        <a href={`#/history/${row.id}`}>{row.id}</a>
      </td>
      <td>
        <Verdict verdict={row.verdict} />
      </td>
      <td>{moment(row.startedAt)}</td>
      <td>
        {row.part}
        {row.simulated && ` (${say.simulated})`}
      </td>
      <td>{row.piece}</td>
      <td>{row.bendNumber}</td>
      <td>{row.lot}</td>
      <td>{row.operator}</td>
      <td class="number">
        {degrees(row.wantedDeg, 1)} ± {degrees(row.toleranceDeg, 1)}
      </td>
      <td class="number">{angle(row.commandedDeg)}</td>
      <td class="number">{angle(row.peakDeg)}</td>
      <td class="number">{angle(row.releasedDeg)}</td>
      <td class="number">{offBy(row)}</td>
      <td class="number">{row.hits}</td>
    </tr>
  )
}

/** A page of bends, newest first. */
export function BendTable({ rows }: { rows: readonly BendRow[] }) {
  return (
    <div class="table-scroll">
      <table>
        <thead>
          <tr>
            {HEADS.map((head, i) => (
              <th key={head} scope="col" class={i >= FIRST_ANGLE ? 'number' : undefined}>
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <Row key={row.id} row={row} />
          ))}
        </tbody>
      </table>
    </div>
  )
}
