/**
 * What the station tells the chain, as lines, so that they are kept and replayed with the device's own.
 *
 *     datum                      zero is here
 *     aim 92.35 0.25 1           stop at 92.35°, lead 0.25 s, tolerance ±1°
 *     no-aim                     no angle to stop at is known
 *     close accepted             the bend is over; the reason is free text
 *     link lost                  the wire is gone; `link back` when it is there again
 *     touch                      the arm touches the tube that was let off
 *     checked 30.4               an angle finder shows 30.4° on the tube
 */
export type HostLine =
  | { readonly act: 'datum' }
  | {
      readonly act: 'aim'
      readonly commandedDeg: number
      readonly leadS: number
      readonly toleranceDeg: number
    }
  | { readonly act: 'no-aim' }
  | { readonly act: 'close'; readonly reason: string }
  | { readonly act: 'link'; readonly state: 'lost' | 'back' }
  | { readonly act: 'touch' }
  | { readonly act: 'checked'; readonly checkedDeg: number }

export function formatHostLine(line: HostLine): string {
  switch (line.act) {
    case 'datum':
    case 'no-aim':
    case 'touch':
      return line.act
    case 'checked':
      return `checked ${line.checkedDeg}`
    case 'aim':
      return `aim ${line.commandedDeg} ${line.leadS} ${line.toleranceDeg}`
    case 'close':
      return `close ${line.reason}`
    case 'link':
      return `link ${line.state}`
  }
}

/** @returns null for a line that is none of these: a replayed file may hold lines of a later version. */
export function parseHostLine(text: string): HostLine | null {
  const [act, ...words] = text.split(' ')
  if ((act === 'datum' || act === 'no-aim' || act === 'touch') && words.length === 0) return { act }
  if (act === 'checked') return parseChecked(words)
  if (act === 'close') return { act, reason: words.join(' ') }
  if (act === 'link' && (words[0] === 'lost' || words[0] === 'back'))
    return { act, state: words[0] }
  if (act !== 'aim' || words.length !== 3) return null
  const [commandedDeg, leadS, toleranceDeg] = words.map(Number)
  if (commandedDeg === undefined || leadS === undefined || toleranceDeg === undefined) return null
  if (![commandedDeg, leadS, toleranceDeg].every(Number.isFinite)) return null
  return { act, commandedDeg, leadS, toleranceDeg }
}

function parseChecked(words: readonly string[]): HostLine | null {
  const checkedDeg = Number(words[0])
  const isOne = words.length === 1 && words[0] !== '' && Number.isFinite(checkedDeg)
  return isOne ? { act: 'checked', checkedDeg } : null
}
