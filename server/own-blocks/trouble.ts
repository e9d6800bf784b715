/** What an own block did that it may not, since the daemon began. */
export interface Trouble {
  times: number
  /** The last time, as the end of a sentence. */
  last: string | null
}

const TEXT_MAX = 160

/** What was thrown, as text on one line: anything can be thrown, also what cannot be made a text. */
export function textOfThrown(thrown: unknown): string {
  let text = 'something that is no error'
  try {
    text = String(thrown instanceof Error ? thrown.message : thrown)
  } catch {
    // That is what it is.
  }
  const line = text.replace(/\s+/g, ' ').trim().replace(/\.$/, '')
  return line.length > TEXT_MAX ? `${line.slice(0, TEXT_MAX)}…` : line
}
