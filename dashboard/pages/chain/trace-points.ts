/**
 * The last values of an output as a polyline, from its lowest to its highest; in the middle while nothing moves.
 *
 * @returns no points for fewer than two values.
 */
export function tracePoints(values: readonly number[], widthPx: number, heightPx: number): string {
  if (values.length < 2) return ''
  const [low, high] = [Math.min(...values), Math.max(...values)]
  const span = high - low
  const x = (place: number) => (place / (values.length - 1)) * widthPx
  const y = (value: number) =>
    span > 0 ? 2 + (1 - (value - low) / span) * (heightPx - 4) : heightPx / 2
  return values.map((value, nth) => `${x(nth).toFixed(1)},${y(value).toFixed(1)}`).join(' ')
}
