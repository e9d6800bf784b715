import type { Segment } from './scripted.ts'

/** What a board host plays: a written trajectory, or an operator that stops where the list says. */
export type Script =
  | { readonly segments: readonly Segment[] }
  | { readonly stopsDeg: readonly number[] }

/** The numbers of each segment, told apart by its keys. */
const SEGMENT_KEYS = [['moveToDeg', 'rateDegPerS'], ['holdS'], ['letOffDeg', 'tauS']] as const

/**
 * Reads a script, for example:
 *
 *     { "segments": [ { "pedal": "down" }, { "pedal": "up" }, { "moveToDeg": 32, "rateDegPerS": 8 },
 *                     { "holdS": 0.8 }, { "letOffDeg": 1.2, "tauS": 0.08 }, { "holdS": 2 } ] }
 *     { "stopsDeg": [31.5, 92.8] }
 *
 * @throws RangeError with one sentence that names what is wrong, and in which segment.
 */
export function readScript(text: string): Script {
  const script = parseObject(text)
  const keys = Object.keys(script)
  if (keys.length !== 1 || !(keys[0] === 'segments' || keys[0] === 'stopsDeg'))
    throw new RangeError(`A script holds "segments" or "stopsDeg" and no more, got: ${keys}.`)
  const list = script[keys[0]]
  if (!Array.isArray(list)) throw new RangeError(`"${keys[0]}" must be a list.`)
  if (keys[0] === 'segments') return { segments: list.map(readSegment) }
  const wrong = list.findIndex((deg) => typeof deg !== 'number')
  if (wrong >= 0) throw new RangeError(`Stop ${wrong + 1} must be a number of degrees.`)
  return { stopsDeg: list }
}

function parseObject(text: string): Record<string, unknown> {
  let value: unknown
  try {
    value = JSON.parse(text)
  } catch (error) {
    throw new RangeError(`The script is not JSON: ${(error as Error).message}.`)
  }
  if (typeof value !== 'object' || value === null)
    throw new RangeError('The script must be a JSON object.')
  return value as Record<string, unknown>
}

function readSegment(segment: unknown, at: number): Segment {
  const record = typeof segment === 'object' && segment !== null ? { ...segment } : {}
  const values = record as Record<string, unknown>
  const keys = Object.keys(values)
  if (keys.length === 1 && (values['pedal'] === 'down' || values['pedal'] === 'up'))
    return { pedal: values['pedal'] }
  const fits = SEGMENT_KEYS.some(
    (wanted) =>
      wanted.length === keys.length && wanted.every((key) => Number.isFinite(values[key])),
  )
  if (!fits)
    throw new RangeError(
      `Segment ${at + 1} is none that can be played: ${JSON.stringify(segment)}.`,
    )
  return segment as Segment
}
