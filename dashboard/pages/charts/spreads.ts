/** A mean and how far single bends lie from it. Degrees. */
export interface Spread {
  readonly name: string
  readonly meanDeg: number
  /** Null of one bend. */
  readonly sdDeg: number | null
}

/** Room that a name wants, and how much of it is written. */
const NAME_PX = 90
const NAME_LENGTH = 11
const SHOWN_LEAST = 3

/** The last of them that find room side by side. */
export const thatFit = (spreads: readonly Spread[], widthPx: number): readonly Spread[] =>
  spreads.slice(-Math.max(SHOWN_LEAST, Math.floor(widthPx / NAME_PX)))

export function shortened(name: string): string {
  const letters = [...name]
  return letters.length > NAME_LENGTH ? `${letters.slice(0, NAME_LENGTH).join('')}…` : name
}

export const endsOf = ({ meanDeg, sdDeg }: Spread) => [
  meanDeg - (sdDeg ?? 0),
  meanDeg + (sdDeg ?? 0),
]

/** From the least to the largest with room about them; nothing is drawn on an edge. */
export function heightsOfSpreads(spreads: readonly Spread[], fromZero: boolean): [number, number] {
  const ends = [...spreads.flatMap(endsOf), ...(fromZero ? [0] : [])]
  const [least, most] = [Math.min(...ends), Math.max(...ends)]
  const room = Math.max(0.05, (most - least) * 0.15)
  return [least - room, most + room]
}
