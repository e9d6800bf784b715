/** A true minus, as wide as a plus: a hyphen is too easily lost at four metres. */
export const MINUS = '\u2212'
const MM_PER_INCH = 25.4

/** A number with fixed decimals. Minus nothing is nothing. */
export function fixed(value: number, decimals: number): string {
  const text = Math.abs(value).toFixed(decimals)
  return value < 0 && Number(text) !== 0 ? MINUS + text : text
}

/** An angle with its sign of degree. */
export const degrees = (angleDeg: number, decimals = 1): string => `${fixed(angleDeg, decimals)}°`

const ASKED_DECIMALS_MAX = 3

/**
 * An angle or a tolerance that was asked for, as it was: 22.25° is no 22.3°, nor 0°05′ a tenth of a degree. To 0.001°;
 * idle noughts only up to `decimals`.
 */
export function askedDegrees(angleDeg: number, decimals = 1): string {
  const [, asked = ''] = String(Number(angleDeg.toFixed(ASKED_DECIMALS_MAX))).split('.')
  return degrees(angleDeg, Math.max(decimals, asked.length))
}

/** An uncertainty as an angle, rounded up: what is told is never better than what is known. */
export function uncertain(uncertaintyDeg: number, decimals: number): string {
  const scale = 10 ** decimals
  return fixed(Math.ceil(uncertaintyDeg * scale - 1e-6) / scale, decimals)
}

/** An expanded uncertainty beside an angle with one decimal. */
export const expanded = (uncertaintyDeg: number): string => `±${uncertain(uncertaintyDeg, 1)}`

/** An error: its sign always shown. */
export function signedDegrees(angleDeg: number, decimals = 1): string {
  const text = degrees(angleDeg, decimals)
  return angleDeg > 0 && !/^0\.?0*°$/.test(text) ? `+${text}` : text
}

const trimmed = (value: number, decimals: number) => String(Number(value.toFixed(decimals)))

/** A length in the reader's unit: to 0.01 mm or 0.001 in, with no idle zeros. */
export function length(mm: number, unit: 'mm' | 'in'): string {
  return unit === 'in' ? `${trimmed(mm / MM_PER_INCH, 4)} in` : `${trimmed(mm, 2)} mm`
}

/** A moment as the reader's clock has it, to the second: `2026-01-05 07:00:12`. */
export function moment(iso: string): string {
  const date = new Date(iso)
  if (Number.isNaN(date.getTime())) return iso
  const two = (value: number) => String(value).padStart(2, '0')
  const day = [date.getFullYear(), two(date.getMonth() + 1), two(date.getDate())].join('-')
  const time = [date.getHours(), date.getMinutes(), date.getSeconds()].map(two).join(':')
  return `${day} ${time}`
}

/**
 * The same with how far that clock is ahead of UTC, for what is evidence: the hour that a clock is set back is there
 * twice. `2026-01-05 07:00:12 +01:00`.
 */
export function momentWithOffset(iso: string): string {
  const aheadMin = -new Date(iso).getTimezoneOffset()
  if (Number.isNaN(aheadMin)) return iso
  const two = (value: number) => String(Math.floor(value)).padStart(2, '0')
  const ahead = Math.abs(aheadMin)
  return `${moment(iso)} ${aheadMin < 0 ? '-' : '+'}${two(ahead / 60)}:${two(ahead % 60)}`
}

/** A moment as the clock had it that wrote it down, of a day without a time the day alone. */
export function asWritten(iso: string): string {
  const [day = '', time = ''] = iso.slice(0, 19).split('T')
  return /^[0:]*$/.test(time) ? day : `${day} ${time}`
}

/** Letters written from right to left, and what turns the direction: Unicode, Bidirectional Algorithm (UAX 9). */
const TURNS = /[\u0590-\u08ff\u200e\u200f\u202a-\u202e\u2066-\u2069\ufb1d-\ufdff\ufe70-\ufeff]/

/** A person's words within a sentence of ours: those written from right to left are kept apart, so that they turn nothing round them. */
export const apart = (text: string): string => (TURNS.test(text) ? `\u2068${text}\u2069` : text)

/** The characters of an angle, one a slot, right-aligned, so that no digit moves another. */
export function slots(steps: number, decimals: number, wholeSlots: number): string[] {
  const [whole = '', rest = ''] = fixed(steps / 10 ** decimals, decimals).split('.')
  const padded = [...whole.padStart(wholeSlots, ' ')]
  return decimals > 0 ? [...padded, '.', ...rest] : padded
}

/** How many characters an angle needs before its point, its minus counted; at least two. */
export const wholeSlotsFor = (angleDeg: number, decimals: number): number =>
  Math.max(2, (fixed(angleDeg, decimals).split('.')[0] ?? '').length)
