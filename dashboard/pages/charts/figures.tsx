import { useMemo } from 'preact/hooks'
import type { BendCharts } from '../../../server/messages/charts.ts'
import { numberHead, TableHead } from '../../widgets/table-head.tsx'
import { chartWords as say } from '../../words/en-charts.ts'
import { askedDegrees, degrees, fixed, signedDegrees } from '../../words/format.ts'
import type { ErrorChart } from './charted-points.ts'
import { isOneAngle, wantedOfAll } from './lots-alike.ts'
import { orNone } from './or-none.ts'
import { SpreadChart } from './spread-chart.tsx'

interface TableParts {
  readonly name: string
  readonly heads: readonly string[]
  /** The first cell of a row is its name. */
  readonly rows: readonly (readonly string[])[]
}

function Figures({ name, heads, rows }: TableParts) {
  return (
    <div class="table-scroll">
      <table class="bends" aria-label={name}>
        <TableHead heads={heads.map((head, place) => (place === 0 ? head : numberHead(head)))} />
        <tbody>
          {rows.map(([first = '', ...rest]) => (
            <tr key={first}>
              <th scope="row">{first}</th>
              {rest.map((text, place) => (
                <td key={heads[place + 1]} class="number">
                  {text}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}

/** Each index with its interval; or why there is none. */
export function Capability({ error }: { error: ErrorChart }) {
  const { why, level, indices } = error.capability
  if (why !== null) return <p>{why}</p>
  return (
    <>
      <Figures
        name={say.capability}
        heads={[say.index, say.value, say.interval(String(Math.round(level * 100))), say.from]}
        rows={indices.map(({ name, value, low, high, estimator }) => [
          say.indices[name],
          fixed(value, 2),
          `${fixed(low, 2)} … ${fixed(high, 2)}`,
          say.estimators[estimator],
        ])}
      />
      {error.mixed.length > 0 && <p>{say.mixedIndex}</p>}
      {error.isStable === false && <p>{say.unstableIndex}</p>}
    </>
  )
}

const hasMean = <T extends { readonly meanDeg: number | null }>(
  row: T,
): row is T & { readonly meanDeg: number } => row.meanDeg !== null

export function Lots({ lots, leftOut }: { lots: BendCharts['lots']; leftOut: number }) {
  // The lot that was bent last stands first in the table, and last in the order of bending.
  const spreads = useMemo(
    () =>
      lots
        .filter(hasMean)
        .map(({ lot, meanDeg, sdDeg }) => ({ name: lot, meanDeg, sdDeg }))
        .reverse(),
    [lots],
  )
  const all = wantedOfAll(lots)
  return (
    <>
      {all === null || isOneAngle(all) ? (
        <SpreadChart name={say.lots} axis={say.lotsAxis} spreads={spreads} />
      ) : (
        <p>{say.lotsMixed(askedDegrees(all.leastDeg), askedDegrees(all.mostDeg))}</p>
      )}
      <Figures
        name={say.lots}
        heads={[say.lot, say.count, say.wanted, say.mean, say.sd]}
        rows={lots.map(({ lot, n, meanDeg, sdDeg, wanted }) => [
          lot,
          String(n),
          wanted === null
            ? say.unknown
            : say.span(askedDegrees(wanted.leastDeg), askedDegrees(wanted.mostDeg)),
          orNone(meanDeg, (deg) => degrees(deg, 2)),
          orNone(sdDeg, (deg) => degrees(deg, 3)),
        ])}
      />
      {leftOut > 0 && <p>{say.lotsLeftOut(leftOut)}</p>}
    </>
  )
}

export function Causes({ causes, readout }: Pick<BendCharts, 'causes' | 'readout'>) {
  const spreads = useMemo(
    () =>
      causes
        .filter(hasMean)
        .map(({ cause, meanDeg, sdDeg }) => ({ name: say.causeNames[cause], meanDeg, sdDeg })),
    [causes],
  )
  return (
    <>
      <SpreadChart name={say.causes} axis={say.causesAxis} spreads={spreads} fromZero />
      <Figures
        name={say.causes}
        heads={[say.cause, say.count, say.mean, say.sd, say.part]}
        rows={causes.map(({ cause, n, meanDeg, sdDeg, part }) => [
          say.causeNames[cause],
          String(n),
          orNone(meanDeg, (deg) => signedDegrees(deg, 2)),
          orNone(sdDeg, (deg) => degrees(deg, 3)),
          part === null ? say.unknown : `${Math.round(part * 100)} %`,
        ])}
      />
      {readout.meanExpandedDeg !== null && (
        <p>{say.readout(degrees(readout.meanExpandedDeg, 2), readout.n)}</p>
      )}
    </>
  )
}
