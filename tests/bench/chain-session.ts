import { makeRandom } from '../../firmware-protocol/bench/random.ts'
import { encodeSentence } from '../../firmware-protocol/codec/encode.ts'
import type { RawLine } from '../../server/chain/raw-line.ts'

const RATE_HZ = 200
const COUNTS_PER_TURN = 16_384
/** One bend: seat, load to 95°, hold, let off to 92°, stand, back to the start. Seconds and degrees. */
const KNEES: readonly (readonly [atS: number, deg: number])[] = [
  [0, 0],
  [1, 0],
  [6, 95],
  [7, 95],
  [7.3, 92],
  [9.5, 92],
  [12, 0],
]
const BEND_S = 12

/** Lines of a shop that bends without a pause: `bends` bends at 200 Hz, with noise, jitter and commands. */
export function benchSession(bends: number): RawLine[] {
  const random = makeRandom(1, 'bench')
  const hello = encodeSentence({
    kind: 'hello',
    protocol: 1,
    firmware: '1.0',
    board: 'bench',
    sensor: 'absolute',
    countsPerTurn: COUNTS_PER_TURN,
    rateHz: RATE_HZ,
  })
  const lines: RawLine[] = [{ arrivalS: 0, from: 'device', text: hello }]
  for (let nth = 0; nth < bends * BEND_S * RATE_HZ; nth++) {
    const takenS = nth / RATE_HZ
    const inBend = nth % (BEND_S * RATE_HZ)
    const angleDeg = angleAt(inBend / RATE_HZ) + 0.02 * random.normal()
    const counts = Math.round((angleDeg / 360) * COUNTS_PER_TURN)
    const text = encodeSentence({
      kind: 'sample',
      sequence: nth % 65_536,
      tickUs: Math.round(takenS * 1e6) % 2 ** 32,
      counts: (counts + COUNTS_PER_TURN) % COUNTS_PER_TURN,
      flags: 8,
      second: null,
    })
    lines.push({ arrivalS: takenS + 0.002 + random.between(0, 0.001), from: 'device', text })
    if (inBend === RATE_HZ) host(lines, 'datum', 'aim 95 0.2 1')
    if (inBend === BEND_S * RATE_HZ - 1) host(lines, 'close accepted')
  }
  return lines
}

function host(lines: RawLine[], ...texts: readonly string[]): void {
  const arrivalS = lines.at(-1)?.arrivalS ?? 0
  for (const text of texts) lines.push({ arrivalS, from: 'host', text })
}

function angleAt(timeS: number): number {
  const next = KNEES.findIndex(([atS]) => atS > timeS)
  const [fromS, fromDeg] = KNEES[next - 1] ?? [0, 0]
  const [toS, toDeg] = KNEES[next] ?? [BEND_S, 0]
  return fromDeg + ((toDeg - fromDeg) * (timeS - fromS)) / (toS - fromS)
}
