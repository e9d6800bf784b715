import { makeTty, type Tty } from '../support/tty.ts'
import { helloLine, sampleLine } from './wire-to-browser-samples.ts'

export const RATE_HZ = 200
/** A board's own buffer: what the wire does not take is lost. */
const WAITING_BYTES_MAX = 4096

/** A board that streams at 200 Hz from the moment at which its port is opened, until it is closed. */
export const plugInStream = (path: string): Promise<Tty> =>
  makeTty(path, (wire) => {
    // What comes before the first line ending may be half a line: the daemon lets it go.
    wire.write(`\r\n${helloLine(RATE_HZ)}\r\n`)
    const startMs = performance.now()
    let nth = 0
    const timer = setInterval(() => {
      for (; nth <= ((performance.now() - startMs) * RATE_HZ) / 1000; nth++)
        if (wire.writableLength <= WAITING_BYTES_MAX) wire.write(`${sampleLine(nth, RATE_HZ)}\r\n`)
    }, 1000 / RATE_HZ)
    wire.on('close', () => clearInterval(timer))
  })
