/**
 * The places that are marked by 1, rising. Counted before they are listed: of a million places half may be marked, and a
 * list that grows is copied again and again.
 */
export function placesMarked(marks: Uint8Array): number[] {
  let count = 0
  for (let place = 0; place < marks.length; place += 1) count += marks[place] ?? 0
  const places = new Array<number>(count)
  let found = 0
  for (let place = 0; place < marks.length; place += 1)
    if (marks[place] === 1) places[found++] = place
  return places
}
