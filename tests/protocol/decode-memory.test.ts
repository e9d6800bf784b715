import { describe, expect, it } from 'vitest'
import { startDecode } from './decode-process.ts'
import { makeRandomBytes } from './random-bytes.ts'

const CHUNK_BYTES = 64 * 1024
const CHUNKS = Math.ceil(100e6 / CHUNK_BYTES)
/** After 30 MB the heap has taken its working size: what comes on top would be a leak. */
const WARM_CHUNKS = Math.ceil(30e6 / CHUNK_BYTES)
/** Under 4 MiB were seen; the 70 MB that follow, kept, or the 22 MB of output, would be more. */
const GROWTH_MIB_MAX = 16

/** A few seconds each; a machine with other work to do gets its time. */
const TIMEOUT_MS = 180_000

const LF = 10
const CR = 13
const isLineEnd = (byte: number) => byte === LF || byte === CR

/** Sends 100 MB to a child process and watches its memory from outside. */
async function feed(dialect: string, chunk: () => Uint8Array, onOutput: (text: string) => void) {
  const decode = startDecode(['--dialect', dialect], onOutput)
  let warmMib = Number.NaN
  for (let sent = 0; sent < CHUNKS; sent++) {
    await decode.write(chunk())
    if (sent === WARM_CHUNKS) warmMib = decode.peakMib()
  }
  const growthMib = decode.peakMib() - warmMib
  return { ...(await decode.end()), growthMib }
}

describe('overbend decode, fed 100 MB of random bytes (seed 20251)', {
  timeout: TIMEOUT_MS,
}, () => {
  it.each(['native', 'nmea-xdr', 'number'])(
    'tells of every line in constant memory: %s',
    async (dialect) => {
      const random = makeRandomBytes(20251)
      let lines = 0
      let previous = LF
      const chunk = () => {
        const bytes = random(CHUNK_BYTES)
        for (const byte of bytes) {
          if (isLineEnd(byte) && !isLineEnd(previous)) lines++
          previous = byte
        }
        return bytes
      }
      const seen = { refused: 0, taken: 0 }
      let rest = ''
      const { code, stderr, growthMib } = await feed(dialect, chunk, (text) => {
        const rows = (rest + text).split('\n')
        rest = rows.pop() ?? ''
        for (const row of rows)
          row.startsWith('{"ok":false,"reason":"') ? seen.refused++ : seen.taken++
      })
      // The last line has no end.
      if (!isLineEnd(previous)) lines++

      expect({ code, stderr, rest }).toEqual({ code: 0, stderr: '', rest: '' })
      expect(lines).toBeGreaterThan(700_000)
      expect(seen.refused + seen.taken).toBe(lines)
      // A plain number has no checksum: a lone digit between two line ends is one.
      if (dialect !== 'number') expect(seen.taken).toBe(0)
      expect(growthMib).toBeLessThan(GROWTH_MIB_MAX)
    },
  )
})

describe('overbend decode, fed 100 MB without a line end (seed 20252)', {
  timeout: TIMEOUT_MS,
}, () => {
  it('tells of one overlong line, in constant memory', async () => {
    const bytes = makeRandomBytes(20252)(CHUNK_BYTES).map((byte) => (isLineEnd(byte) ? 0 : byte))
    let stdout = ''
    const { code, stderr, growthMib } = await feed(
      'native',
      () => bytes,
      (text) => {
        stdout += text
      },
    )
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' })
    expect(stdout).toBe('{"ok":false,"reason":"overlong"}\n')
    expect(growthMib).toBeLessThan(GROWTH_MIB_MAX)
  })
})
