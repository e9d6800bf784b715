/**
 * Moves the labels of lines apart, so that no two lie on one another: each stays as near to its line as the
 * others let it, in the order of the lines, within the sheet where there is room for all.
 *
 * @param ys Where the lines are, px from the top, in any order.
 * @param apartPx Least distance of two labels.
 * @param heightPx Of the sheet.
 */
export function labelPlaces(ys: readonly number[], apartPx: number, heightPx: number): number[] {
  const order = ys.map((_, index) => index).sort((a, b) => (ys[a] ?? 0) - (ys[b] ?? 0))
  const placed = [...ys]
  let free = apartPx / 2
  for (const index of order) {
    placed[index] = Math.max(placed[index] ?? 0, free)
    free = (placed[index] ?? 0) + apartPx
  }
  let floor = heightPx - apartPx / 2
  for (const index of order.toReversed()) {
    placed[index] = Math.min(placed[index] ?? 0, floor)
    floor = (placed[index] ?? 0) - apartPx
  }
  return placed
}
