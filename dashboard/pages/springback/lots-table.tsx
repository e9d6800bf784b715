import type { LotRow, LotTable } from '../../../server/messages/springback.ts'
import { settings } from '../../live/settings.ts'
import { type Head, TableHead } from '../../widgets/table-head.tsx'
import { words } from '../../words/en.ts'
import { askedDegrees, degrees, length, signedDegrees } from '../../words/format.ts'

const { lots: say } = words.springback

const half = (low: number, high: number) => degrees((high - low) / 2, 2)

function Against({ difference }: { difference: LotRow['difference'] }) {
  if (difference === null) return <>{say.alone}</>
  const { differenceDeg, expandedDeg, isTold } = difference
  const text = signedDegrees(differenceDeg, 2)
  return (
    <>
      {isTold ? <strong>{text}</strong> : text}
      {` ± ${degrees(expandedDeg, 2)}`}
      {!isTold && <span class="under-it">{say.notTold}</span>}
    </>
  )
}

/** What put its bends off, the largest in bold. */
function PutOff({ shares }: { shares: LotRow['shares'] }) {
  if (shares === null) return <>{say.unknown}</>
  const { stopDeg, tubeDeg, aimDeg, readoutDeg } = shares
  const causes = [
    { name: say.stop, deg: stopDeg },
    { name: say.tube, deg: tubeDeg },
    { name: say.aim, deg: aimDeg },
  ]
  const most = Math.max(stopDeg, tubeDeg, aimDeg)
  return (
    <>
      {causes.flatMap(({ name, deg }) => [
        <span key={name} class={deg === most ? 'most' : undefined}>
          {name} {degrees(deg, 2)}
        </span>,
        ' ',
      ])}
      {readoutDeg !== null && (
        <span class="under-it">
          {say.readout} ± {degrees(readoutDeg, 2)}
        </span>
      )}
    </>
  )
}

/** On a phone what is known and what put the bends off stand under each other. */
function Springs({ row }: { row: LotRow }) {
  const { expected, difference, shares } = row
  return (
    <td class="number put-off">
      {expected === null ? (
        say.noSet
      ) : (
        <span>
          {degrees(expected.springbackDeg, 2)} ± {half(expected.lowDeg, expected.highDeg)}
        </span>
      )}
      <span class="narrow-only">
        {say.against}: <Against difference={difference} />
      </span>
      <span class="narrow-only">
        {say.offBy}: <PutOff shares={shares} />
      </span>
    </td>
  )
}

function Row({ row, isShown }: { row: LotRow; isShown: boolean }) {
  const unit = settings.unit.value
  const { die, tube, station, setupId } = row
  return (
    <tr aria-current={isShown ? 'true' : undefined}>
      <td>
        <a class="bend-link" href={`#/springback/${setupId}`}>
          {tube.lot}
        </a>
        <span class="narrow-only">
          {tube.material}, {die.name}
        </span>
      </td>
      <td class="wide">
        {tube.material}
        <span class="under-it">
          {length(tube.odMm, unit)} × {length(tube.wallMm, unit)}
        </span>
      </td>
      <td class="wide">
        {die.name}
        <span class="under-it">{station}</span>
      </td>
      <td class="number">
        {row.bends}
        {row.apart > 0 && <span class="under-it">{say.apart(row.apart)}</span>}
      </td>
      <td class="wide">
        <a class="bend-link" href={`#/history/${row.firstBend}`}>
          {row.firstBend}
        </a>{' '}
        <a class="bend-link" href={`#/history/${row.lastBend}`}>
          {row.lastBend}
        </a>
      </td>
      <Springs row={row} />
      <td class="number wide">
        <Against difference={row.difference} />
      </td>
      <td class="wide put-off">
        <PutOff shares={row.shares} />
      </td>
    </tr>
  )
}

const HEADS = [
  { name: say.lot },
  { name: say.material, kind: 'wide' },
  { name: say.die, kind: 'wide' },
  { name: say.bends, kind: 'number' },
  { name: say.records, kind: 'wide' },
  { name: say.springback, kind: 'number' },
  { name: say.against, kind: 'number wide' },
  { name: say.offBy, kind: 'wide' },
] as const satisfies readonly Head[]

/** Every lot that was bent, the last first; each opens what is known of it. */
export function LotsTable({ lots, shownId }: { lots: LotTable; shownId: number | null }) {
  const { rows, moreLots, wantedDeg, sharesOver } = lots
  if (rows.length === 0) return <p class="desk-intro">{say.none}</p>
  return (
    <>
      <p class="springback-note">{say.intro(askedDegrees(wantedDeg, 0), sharesOver)}</p>
      <div class="table-scroll">
        <table class="lots" aria-label={say.title}>
          <TableHead heads={HEADS} />
          <tbody>
            {rows.map((row) => (
              <Row key={row.setupId} row={row} isShown={row.setupId === shownId} />
            ))}
          </tbody>
        </table>
      </div>
      {moreLots > 0 && <p>{say.more(moreLots)}</p>}
    </>
  )
}
