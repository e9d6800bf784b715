/** How the letters of a file are written. */
export type Encoding = 'utf-8' | 'utf-16' | 'windows-1252'

/** What a file of two bytes a letter begins with. */
const MARKS = [
  ['utf-16le', 0xff, 0xfe],
  ['utf-16be', 0xfe, 0xff],
] as const

function utf8(bytes: Uint8Array): string | null {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes)
  } catch (error) {
    if (error instanceof TypeError) return null
    throw error
  }
}

/**
 * The text of a file. What is not UTF-8 throughout is taken for Windows-1252, as spreadsheets save it: every byte is a
 * letter there, so that a person has to look whether they are the right ones.
 */
export function decodeFile(bytes: Uint8Array): { text: string; encoding: Encoding } {
  const [label] = MARKS.find(([, ...mark]) => mark.every((byte, at) => bytes[at] === byte)) ?? []
  if (label !== undefined) return { text: new TextDecoder(label).decode(bytes), encoding: 'utf-16' }
  const text = utf8(bytes)
  if (text !== null) return { text, encoding: 'utf-8' }
  return { text: new TextDecoder('windows-1252').decode(bytes), encoding: 'windows-1252' }
}
