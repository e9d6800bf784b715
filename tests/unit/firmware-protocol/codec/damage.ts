import fc from 'fast-check'

/** All that one slip of a wire can do to a line, one at a time. */
export function* damagedOnce(line: string, replacements: readonly string[]): Generator<string> {
  for (let at = 0; at < line.length; at++) {
    const before = line.slice(0, at)
    const after = line.slice(at + 1)
    for (const char of replacements) if (char !== line[at]) yield `${before}${char}${after}`
    yield before + after
    yield before
    yield after
    for (const char of replacements) yield `${before}${char}${line.slice(at)}`
    yield `${before}${line.charAt(at)}${line.slice(at)}`
  }
}

/** Two characters change places: neighbours, and every pair further apart. */
export function* transposed(line: string): Generator<string> {
  const chars = [...line]
  for (let first = 0; first < chars.length; first++)
    for (let second = first + 1; second < chars.length; second++) {
      if (chars[first] === chars[second]) continue
      const swapped = [...chars]
      swapped[first] = chars[second] as string
      swapped[second] = chars[first] as string
      yield swapped.join('')
    }
}

/** Every character that a byte can stand for. */
export const ALL_BYTES = Array.from({ length: 256 }, (_, byte) => String.fromCharCode(byte))

/** Strings of any UTF-16 units, lone surrogates among them: what no byte can stand for. */
export const anyUnits = fc
  .array(fc.integer({ min: 0, max: 0xffff }), { maxLength: 30 })
  .map((units) => String.fromCharCode(...units))
