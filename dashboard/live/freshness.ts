/** Older than this and the number is dimmed. */
const DIM_AFTER_S = 0.3
/** Older than this and the number gives way to a statement of what is missing. */
const GONE_AFTER_S = 1

export type Freshness = 'live' | 'dim' | 'gone'

/** How far a number may still be believed, from the age of its sample. An unknown age is `gone`. */
export function freshnessOf(ageS: number): Freshness {
  if (ageS < DIM_AFTER_S) return 'live'
  return ageS < GONE_AFTER_S ? 'dim' : 'gone'
}
