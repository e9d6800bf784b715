/** Where a strip of the picture is drawn, in the units of its own drawing. */
export const STRIP = { left: 118, width: 300, height: 44, gap: 8 } as const

/** A run of values that follow one another, all good or all bad, as points of a polyline. */
export interface Run {
  readonly isBad: boolean
  readonly points: string
}

interface Values {
  readonly values: readonly (number | null)[]
  readonly bad: readonly boolean[]
}

export function boundsOf(values: Values['values']): { low: number; high: number } | null {
  const known = values.filter((value) => value !== null)
  if (known.length === 0) return null
  return { low: Math.min(...known), high: Math.max(...known) }
}

/** Lines of a strip: broken where no value is, begun anew where good turns bad. A level stays in the middle. */
export function runsOf({ values, bad }: Values): Run[] {
  const bounds = boundsOf(values)
  if (bounds === null) return []
  const { low, high } = bounds
  const { left, width, height } = STRIP
  const xOf = (row: number) => left + (row / Math.max(1, values.length - 1)) * width
  const yOf = (value: number) =>
    high > low ? 3 + (1 - (value - low) / (high - low)) * (height - 6) : height / 2
  const runs: { isBad: boolean; points: string[] }[] = []
  let open: { isBad: boolean; points: string[] } | null = null
  values.forEach((value, row) => {
    if (value === null) {
      open = null
      return
    }
    const isBad = bad[row] === true
    const point = `${xOf(row).toFixed(1)},${yOf(value).toFixed(1)}`
    if (open === null || open.isBad !== isBad) {
      const before = open?.points.at(-1)
      open = { isBad, points: before === undefined ? [] : [before] }
      runs.push(open)
    }
    open.points.push(point)
  })
  return runs.map(({ isBad, points }) => ({ isBad, points: points.join(' ') }))
}
