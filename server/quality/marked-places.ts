/**
 * Places of a run that have something, a bit of a byte each: of a million places half may be marked, and memory for a
 * list of them takes longer than several passes over the bytes.
 */
export type Marks = Uint8Array

const BITS = 8

/**
 * The bit of a mark for the first, second… thing that is marked, counted from 0.
 *
 * @throws RangeError for a ninth: a byte has no bit for it, and its marks would be lost unseen.
 */
export function bitOf(nth: number): number {
  if (!(Number.isInteger(nth) && nth >= 0 && nth < BITS))
    throw new RangeError(`a mark has ${BITS} bits, none of them for ${nth}`)
  return 1 << nth
}

/** How many places have the bit. */
export function countMarked(marks: Marks, bit: number): number {
  let count = 0
  for (let place = 0; place < marks.length; place += 1)
    count += Number(((marks[place] ?? 0) & bit) > 0)
  return count
}

/** The places that have the bit, rising; of more than `most` the first. */
export function placesMarked(marks: Marks, bit: number, most = Infinity): number[] {
  const places = new Array<number>(Math.min(countMarked(marks, bit), most))
  let found = 0
  for (let place = 0; found < places.length; place += 1)
    if (((marks[place] ?? 0) & bit) > 0) places[found++] = place
  return places
}

const ANY = 0xff

/** The places that have any mark, rising; of more than `most` so many, evenly over all of them. */
export function markedEvenly(marks: Marks, most: number): number[] {
  const count = countMarked(marks, ANY)
  const places = new Array<number>(Math.min(count, most))
  let [found, toPass] = [0, 0]
  for (let place = 0; found < places.length; place += 1) {
    if (marks[place] === 0) continue
    if (toPass > 0) {
      toPass -= 1
      continue
    }
    places[found++] = place
    toPass =
      Math.floor((found * count) / places.length) -
      Math.floor(((found - 1) * count) / places.length) -
      1
  }
  return places
}
