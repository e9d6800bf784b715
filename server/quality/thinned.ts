import { inOneGo } from './in-one-go.ts'
import { type Marks, markedEvenly } from './marked-places.ts'
import type { Values } from './summary.ts'

/** Of the points that must be shown, at most this part of all that are shown. */
const KEPT_PART = 0.5
const NONE = new Uint8Array()

/** Stretches of neighbours that are looked through in one step. */
const STEP_STRETCHES = 128

/**
 * Which points of a long run are drawn, so that it looks as if all were: of each stretch of neighbours the least and
 * the largest, with the first, the last and those asked for. In steps.
 *
 * @param most 16 or more.
 * @param kept Places that are drawn in any case; of more than half of `most`, so many evenly.
 * @returns Places from 0, rising, at most `most`.
 * @throws RangeError for a smaller `most`.
 */
export function* thinnedSteps(
  values: Values,
  most: number,
  kept: Marks = NONE,
): Generator<void, number[]> {
  if (!(most >= 16)) throw new RangeError(`${most} points draw no run`)
  if (values.length <= most) return Array.from(values, (_, place) => place)
  const shown = new Set([
    0,
    values.length - 1,
    ...markedEvenly(kept, Math.floor(most * KEPT_PART) - 2),
  ])
  yield
  const stretches = Math.floor((most - shown.size) / 2)
  for (let i = 0; i < stretches; i += 1) {
    const end = Math.floor(((i + 1) * values.length) / stretches)
    let least = Math.floor((i * values.length) / stretches)
    let largest = least
    for (let place = least + 1; place < end; place += 1) {
      if ((values[place] ?? 0) < (values[least] ?? 0)) least = place
      if ((values[place] ?? 0) > (values[largest] ?? 0)) largest = place
    }
    shown.add(least).add(largest)
    if (i % STEP_STRETCHES === STEP_STRETCHES - 1) yield
  }
  return [...shown].sort((a, b) => a - b)
}

/** The same in one go. */
export const thinned = (values: Values, most: number, kept?: Marks): number[] =>
  inOneGo(thinnedSteps(values, most, kept))
