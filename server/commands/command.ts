import type { Command } from 'commander'

/** Wrong usage or wrong input: exit 2 and one sentence that names the flag, line or field at fault. */
export class BadInput extends Error {
  override readonly name = 'BadInput'
}

/** One command of `overbend`: a file each, and one line in `index.ts`. */
export type AddCommand = (program: Command) => void

/** Writes one JSON document, and nothing else, to standard output. */
export function printJson(value: unknown): void {
  process.stdout.write(`${JSON.stringify(value)}\n`)
}

/** Parser for an option that takes a plain finite number. */
export const finiteNumber = (flag: string) => (text: string) => {
  const value = Number(text)
  if (text.trim() === '' || !Number.isFinite(value))
    throw new BadInput(`${flag} takes a number, got "${text}".`)
  return value
}

const MM_PER_INCH = 25.4

/** Parser for an option that takes a length: millimetres, or inches with the suffix `in`. */
export const lengthMm = (flag: string) => (text: string) => {
  const match = /^\s*([+-]?[\d.]+(?:e[+-]?\d+)?)\s*(mm|in)?\s*$/i.exec(text)
  const value = Number(match?.[1])
  if (!match || !Number.isFinite(value))
    throw new BadInput(`${flag} takes a length such as 38.1 or 1.5in, got "${text}".`)
  // 1.5 × 25.4 is 38.099999999999994 to a double: whoever typed inches is not to read that back.
  return match[2]?.toLowerCase() === 'in' ? Number((value * MM_PER_INCH).toPrecision(12)) : value
}
