/** A field's text that does not fit its grammar. */
export const MISFIT = Symbol('misfit')

/** One field of a sentence: its text on the wire and the value that it stands for. */
export interface Field<T> {
  /** The wording of the tables in SPECIFICATION.md. */
  readonly grammar: string
  /** The value of the characters `from` to `to` − 1 of a line. */
  read(line: string, from: number, to: number): T | typeof MISFIT
  write(value: T): string | typeof MISFIT
}

/** 2^32 − 1 has ten digits; none of our numbers has more. */
const MAX_DIGITS = 10
const MINUS = 0x2d
const ZERO = 0x30

/**
 * A decimal integer in the one way it may be written: no plus, no leading zero, no minus zero. One value, one
 * text: that is what makes decode and encode each other's inverse.
 *
 * @returns NaN for anything else, and outside `min` to `max`.
 */
export function readInteger(
  line: string,
  from: number,
  to: number,
  min: number,
  max: number,
): number {
  const negative = line.charCodeAt(from) === MINUS
  const first = negative ? from + 1 : from
  const digits = to - first
  if (!(digits >= 1 && digits <= MAX_DIGITS)) return Number.NaN
  if (line.charCodeAt(first) === ZERO && (negative || digits > 1)) return Number.NaN
  let size = 0
  for (let at = first; at < to; at++) {
    const digit = line.charCodeAt(at) - ZERO
    if (!(digit >= 0 && digit <= 9)) return Number.NaN
    size = size * 10 + digit
  }
  const value = negative ? -size : size
  return value >= min && value <= max ? value : Number.NaN
}

export const integer = (min: number, max: number): Field<number> => ({
  grammar: `integer ${min} to ${max}`,
  read(line, from, to) {
    const value = readInteger(line, from, to, min, max)
    return Number.isNaN(value) ? MISFIT : value
  },
  write: (value) =>
    Number.isInteger(value) && value >= min && value <= max ? String(value) : MISFIT,
})

/** Letters, digits, space, point, hyphen, underscore: nothing that a frame or a terminal gives a meaning. */
const TEXT = /^[A-Za-z0-9 ._-]*$/

export const text = (minChars: number, maxChars: number): Field<string> => {
  const fits = (value: string) =>
    value.length >= minChars && value.length <= maxChars && TEXT.test(value)
  return {
    grammar: `text of ${minChars} to ${maxChars}`,
    read(line, from, to) {
      const value = line.slice(from, to)
      return fits(value) ? value : MISFIT
    },
    write: (value) => (fits(value) ? value : MISFIT),
  }
}

/** One word of a closed list. `words` gives the wire's word for each value. */
export const choice = <T extends string | boolean>(
  ...words: readonly (readonly [word: string, value: T])[]
): Field<T> => ({
  grammar: words.map(([word]) => word).join(' or '),
  read(line, from, to) {
    const found = words.find(([word]) => word.length === to - from && line.startsWith(word, from))
    return found ? found[1] : MISFIT
  },
  write: (value) => words.find(([, known]) => known === value)?.[0] ?? MISFIT,
})

/** A field that may be left empty; `absent` is the value it then has. */
export const orEmpty = <T, A extends null | undefined>(
  field: Field<T>,
  absent: A,
): Field<T | A> => ({
  grammar: `${field.grammar}, or empty`,
  read: (line, from, to) => (from === to ? absent : field.read(line, from, to)),
  write: (value) => (value === null || value === undefined ? '' : field.write(value)),
})
