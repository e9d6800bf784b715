import { useMemo } from 'preact/hooks'
import type { BendCharts } from '../../../server/messages/charts.ts'
import { FactSheet } from '../../widgets/fact-sheet.tsx'
import { numberHead, TableHead } from '../../widgets/table-head.tsx'
import { chartWords as say } from '../../words/en-charts.ts'
import { degrees, signedDegrees } from '../../words/format.ts'
import { type ErrorChart, pointsOf, rangesOf } from './charted-points.ts'
import { orNone } from './or-none.ts'
import { PointChart } from './point-chart.tsx'
import type { ChartPoint } from './point-columns.ts'

const isNumber = (deg: number | null): deg is number => deg !== null

function Keys({ hasVoid, isMixed }: { hasVoid: boolean; isMixed: boolean }) {
  const { keys } = say
  return (
    <ul class="chart-legend">
      <li data-key="tolerance">{keys.tolerance}</li>
      <li data-key="limit">{keys.limit}</li>
      <li data-key="centre">{keys.centre}</li>
      <li data-key="broken">{keys.broken}</li>
      {isMixed && <li data-key="change">{keys.change}</li>}
      {hasVoid && <li data-key="void">{keys.void}</li>}
    </ul>
  )
}

/** Common practice, no source: with fewer the limits move much with each bend. */
const SETTLED_BENDS = 30

function factsOf(error: ErrorChart) {
  const { meanDeg, sdDeg, sigmaWithinDeg, lowerDeg, upperDeg, upperRangeDeg, constants } = error
  const { facts } = say
  const [d2, D4] = [constants.d2, constants.D4].map((value) =>
    value === null ? say.unknown : value.toFixed(3),
  ) as [string, string]
  const signed = (deg: number) => signedDegrees(deg, 3)
  const plain = (deg: number) => degrees(deg, 3)
  return [
    { name: facts.mean, value: orNone(meanDeg, signed) },
    { name: facts.sd, value: orNone(sdDeg, plain) },
    { name: facts.within, value: orNone(sigmaWithinDeg, plain) },
    { name: facts.limits, value: `${orNone(lowerDeg, signed)} … ${orNone(upperDeg, signed)}` },
    { name: facts.rangeLimit, value: orNone(upperRangeDeg, plain) },
    { name: facts.constants, value: say.constants(d2, D4) },
  ]
}

function Breaks({ error }: { error: ErrorChart }) {
  const { sigmaWithinDeg, rules, rangesBeyond, isStable, mixed, constants } = error
  if (isStable) return <p>{say.stable}</p>
  // Equal values: that their mean is off by a rounding is no pattern.
  if (sigmaWithinDeg === 0 && mixed.length === 0) return <p>{say.still}</p>
  const found = [
    ...rules.map(({ rule, count, bends }) => ({ what: say.rule(rule), count, bends })),
    ...(rangesBeyond.count > 0 ? [{ what: say.stepTooLarge, ...rangesBeyond }] : []),
  ]
  if (found.length === 0) return null
  return (
    <>
      <p class="act-said">{mixed.length > 0 ? say.apart : say.unstable}</p>
      <ul class="rule-breaks">
        {found.map(({ what, count, bends }) => (
          <li key={what}>
            {say.times(what, count)}{' '}
            {bends.map((id) => (
              <a key={id} href={`#/history/${id}`}>
                {id}
              </a>
            ))}
          </li>
        ))}
      </ul>
      <p class="field-help">
        {say.looked}: {constants.rules.map(say.rule).join('; ')}.
      </p>
    </>
  )
}

const offText = (deg: number) => signedDegrees(deg, 2)
const stepText = (deg: number) => degrees(deg, 2)

/** All that the charts draw: what is void stands at its place, and has no step. */
function PointsTable({
  points,
  steps,
}: {
  points: readonly ChartPoint[]
  steps: ErrorChart['points']
}) {
  const stepOf = useMemo(() => new Map(steps.map(({ id, rangeDeg }) => [id, rangeDeg])), [steps])
  const markOf = ({ isVoid, isBroken }: ChartPoint) => {
    if (isVoid) return say.marks.void
    return isBroken ? say.marks.broken : ''
  }
  return (
    <details>
      <summary>{say.table}</summary>
      <div class="table-scroll">
        <table class="bends" aria-label={say.table}>
          <TableHead heads={[...[say.bend, say.offBy, say.step].map(numberHead), say.mark]} />
          <tbody>
            {points.map((point) => (
              <tr key={point.id}>
                <td class="number">
                  <a class="row-link" href={`#/history/${point.id}`}>
                    {point.id}
                  </a>
                </td>
                <td class="number">{offText(point.deg)}</td>
                <td class="number">{orNone(stepOf.get(point.id) ?? null, stepText)}</td>
                <td class="prose">{markOf(point)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  )
}

/** Run chart with the tolerance, single values with their limits, moving ranges, and what is not as by chance. */
export function ErrorCharts(props: { error: ErrorChart; voided: BendCharts['voided'] }) {
  const { error, voided } = props
  const points = useMemo(() => pointsOf(error, voided), [error, voided])
  const ranges = useMemo(() => rangesOf(error, points), [error, points])
  const lines = useMemo(() => {
    const { meanDeg, lowerDeg, upperDeg } = error
    return { centreDeg: meanDeg, limitsDeg: [lowerDeg, upperDeg].filter(isNumber) }
  }, [error])
  const rangeLines = useMemo(() => {
    const { meanRangeDeg, upperRangeDeg } = error
    return { centreDeg: meanRangeDeg, limitsDeg: [upperRangeDeg].filter(isNumber) }
  }, [error])
  return (
    <>
      <h2>{say.error}</h2>
      <PointChart
        name={say.error}
        axis={say.errorAxis}
        {...{ points, lines }}
        places={points.length}
        write={offText}
      />
      <Keys hasVoid={voided.count > 0} isMixed={error.mixed.length > 0} />
      {error.n > error.points.length && (
        <p class="field-help">{say.thinned(error.points.length, error.n)}</p>
      )}
      <Breaks error={error} />
      {error.n < SETTLED_BENDS && <p class="field-help">{say.few(error.n)}</p>}
      <FactSheet facts={factsOf(error)} />
      {ranges.length > 0 && (
        <>
          <h2>{say.ranges}</h2>
          <PointChart
            name={say.ranges}
            axis={say.rangesAxis}
            points={ranges}
            lines={rangeLines}
            places={points.length}
            write={stepText}
          />
        </>
      )}
      <PointsTable points={points} steps={error.points} />
    </>
  )
}
