import { tracePoints } from './trace-points.ts'

const WIDTH_PX = 120
const HEIGHT_PX = 28

/** The last values of an output, on its block's sheet. */
export function SmallTrace({ values }: { values: readonly number[] }) {
  if (values.length < 2) return <span />
  return (
    <svg class="small-trace" width={WIDTH_PX} height={HEIGHT_PX} aria-hidden="true">
      <polyline points={tracePoints(values, WIDTH_PX, HEIGHT_PX)} />
    </svg>
  )
}
