const WIDTH_PX = 120
const HEIGHT_PX = 28

/** The last values of an output, from its lowest to its highest; a line in the middle while nothing moves. */
export function SmallTrace({ values }: { values: readonly number[] }) {
  if (values.length < 2) return <span />
  const [low, high] = [Math.min(...values), Math.max(...values)]
  const span = high - low
  const x = (place: number) => (place / (values.length - 1)) * WIDTH_PX
  const y = (value: number) =>
    span > 0 ? 2 + (1 - (value - low) / span) * (HEIGHT_PX - 4) : HEIGHT_PX / 2
  const points = values.map((value, place) => `${x(place).toFixed(1)},${y(value).toFixed(1)}`)
  return (
    <svg class="small-trace" width={WIDTH_PX} height={HEIGHT_PX} aria-hidden="true">
      <polyline points={points.join(' ')} />
    </svg>
  )
}
