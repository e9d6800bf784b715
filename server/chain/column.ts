/**
 * A connection of the chain carries a column: one place for each row of the batch in hand.
 * A row is one line off the wire (or one line from the host). A place without a value has quality NONE.
 */

/** Quality of a value. The worst of several is their maximum; a block may lower quality, never raise it. */
export const GOOD = 0
export const UNCERTAIN = 1
export const BAD = 2
/** No value in this row. */
export const NONE = 3
export type Quality = typeof GOOD | typeof UNCERTAIN | typeof BAD | typeof NONE

/** Rows a batch holds at the most. A longer run of lines is pushed in several batches. */
export const BATCH_ROWS_MAX = 256

export interface NumberColumn {
  /** Source time of each value, seconds. Shared with the input it was made from, unless a block sets time. */
  readonly timeS: Float64Array
  readonly value: Float64Array
  readonly quality: Uint8Array
}

/** Sparse things: lines, commands, events. `items[row]` is null where there is nothing. */
export interface ItemColumn<T> {
  readonly timeS: Float64Array
  readonly items: (T | null)[]
  /** How many rows hold an item in this batch: zero lets a block skip the scan. */
  count: number
}
