/**
 * Rows of a long walk, oldest first, read in batches: since the history only grows, that sees the same rows as one
 * long query, and neither holds memory nor keeps anyone from writing meanwhile.
 *
 * @param next The rows after a number, in the order of their numbers, no more than `rowsMax`.
 */
export function* inBatches<Row extends { readonly id: number }>(
  next: (afterId: number) => readonly Row[],
  rowsMax: number,
): Generator<Row> {
  let lastId = 0
  for (;;) {
    const rows = next(lastId)
    yield* rows
    if (rows.length < rowsMax) return
    lastId = rows.at(-1)?.id ?? lastId
  }
}
