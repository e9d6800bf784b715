/** Numbers and texts that a block may remember: a snapshot of it is taken every ten seconds. */
const PLACES_MAX = 10_000
const DEPTH_MAX = 10

function placesIn(value: unknown, depth: number): number {
  if (value === null || ['number', 'string', 'boolean'].includes(typeof value)) return 1
  if (typeof value !== 'object' || depth > DEPTH_MAX) return Number.NaN
  const isPlain = Array.isArray(value) || Object.getPrototypeOf(value) === Object.prototype
  if (!isPlain) return Number.NaN
  let places = 1
  for (const part of Object.values(value)) {
    places += placesIn(part, depth + 1)
    if (!(places <= PLACES_MAX)) return Number.NaN
  }
  return places
}

/** Whether a memory can be kept as JSON and brought back: objects, lists, numbers, texts, yes and no, at most 10,000 of them. */
export const isPlainMemory = (memory: unknown): memory is Record<string, unknown> =>
  typeof memory === 'object' &&
  memory !== null &&
  !Array.isArray(memory) &&
  placesIn(memory, 0) <= PLACES_MAX

export const keysOf = (memory: object): string => Object.keys(memory).sort().join(' ')
