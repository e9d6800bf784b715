import { calibratedExpandedDegOf } from '../../../server/bend/bend-proof.ts'
import type { BendRow } from '../../../server/messages/bends.ts'
import type { FoundRow } from '../../../server/messages/find.ts'
import { type Head, TableHead } from '../../widgets/table-head.tsx'
import { Verdict } from '../../widgets/verdict.tsx'
import { words } from '../../words/en.ts'
import { findWords } from '../../words/en-find.ts'
import { askedDegrees, degrees, moment, signedDegrees, uncertain } from '../../words/format.ts'

const { history: say } = words

const angle = (deg: number | null) => (deg === null ? words.facts.none : degrees(deg, 2))

function offBy({ releasedDeg, wantedDeg }: BendRow): string {
  return releasedDeg === null ? words.facts.none : signedDegrees(releasedDeg - wantedDeg, 2)
}

/** What QA has to know of the readout before the angle counts; null: nothing. */
function doubtOf({ readout }: BendRow): string | null {
  const standing = readout?.standing
  return standing === 'overdue' || standing === 'failed' ? say.standing[standing] : null
}

/** How well the angle is known, and whether the readout was in doubt. */
function Released({ row }: { row: BendRow }) {
  const expandedDeg = calibratedExpandedDegOf(row)
  const doubt = doubtOf(row)
  return (
    <td class="number">
      {angle(row.releasedDeg)}
      {expandedDeg !== null && (
        <span class="tolerance widest"> ± {uncertain(expandedDeg, 2)}°</span>
      )}
      {doubt !== null && <span class="readout-doubt">{doubt}</span>}
    </td>
  )
}

/**
 * What is left to the record where there is no room, in this order: `at-ease` on a usual desk screen, `widest` on a
 * tablet, `placed` on a narrow one (the part's cell says it then), `wide` on a phone. `number`: aligned on its right.
 */
const HEADS = [
  { name: say.number },
  { name: say.verdict },
  { name: say.when, kind: 'wide when' },
  { name: say.part },
  { name: say.piece, kind: 'placed' },
  { name: say.bend, kind: 'placed' },
  { name: say.lot, kind: 'wide' },
  { name: say.operator, kind: 'widest' },
  { name: say.wanted, kind: 'number' },
  { name: say.stopAt, kind: 'number at-ease' },
  { name: say.peak, kind: 'number at-ease' },
  { name: say.released, kind: 'number' },
  { name: say.off, kind: 'number wide' },
  { name: say.goes, kind: 'number at-ease' },
] as const satisfies readonly Head[]

/** What people did about it since, and whether its time is to be doubted. */
function Marks({ row: { marks, isNoted, isDue, setBackS } }: { row: FoundRow }) {
  const said = [
    marks?.isVoid && say.marks.void,
    marks?.isAmended && say.marks.amended,
    marks?.signed && say.marks[marks.signed],
    isDue && findWords.marks.due,
    isNoted && findWords.marks.noted,
    setBackS !== undefined && findWords.marks.setBack,
  ].filter((text) => typeof text === 'string')
  return said.length === 0 ? null : <span class="bend-marks">{said.join(', ')}</span>
}

/** The whole row is the link's to press: its area is stretched over the row by the style sheet. */
function Row({ row }: { row: FoundRow }) {
  return (
    <tr>
      <td>
        <a class="row-link" href={`#/history/${row.id}`}>
          {row.id}
        </a>
      </td>
      <td>
        <Verdict verdict={row.verdict} />
        <Marks row={row} />
        <span class="narrow-only">{offBy(row)}</span>
      </td>
      <td class="wide when">{moment(row.startedAt)}</td>
      <td class="part">
        <bdi>{row.part}</bdi>
        {row.simulated && <span class="wide"> ({say.simulated})</span>}
        {row.imported && <span> ({say.imported})</span>}
        <span class="place">{words.bendOf(row.piece, row.bendNumber)}</span>
      </td>
      <td class="placed">{row.piece}</td>
      <td class="placed">{row.bendNumber}</td>
      <td class="wide named">
        <bdi>{row.lot}</bdi>
      </td>
      <td class="widest named">
        <bdi>{row.operator}</bdi>
      </td>
      <td class="number">
        {askedDegrees(row.wantedDeg)}{' '}
        <span class="tolerance">± {askedDegrees(row.toleranceDeg)}</span>
      </td>
      <td class="number at-ease">{angle(row.commandedDeg)}</td>
      <td class="number at-ease">{angle(row.peakDeg)}</td>
      <Released row={row} />
      <td class="number wide">{offBy(row)}</td>
      <td class="number at-ease">{row.hits}</td>
    </tr>
  )
}

/** A page of bends, newest first. */
export function BendTable({ rows }: { rows: readonly FoundRow[] }) {
  return (
    <div class="table-scroll bends-frame">
      <table class="bends" aria-label={say.title}>
        <TableHead heads={HEADS} />
        <tbody>
          {rows.map((row) => (
            <Row key={row.id} row={row} />
          ))}
        </tbody>
      </table>
    </div>
  )
}
