import type { Duplex } from 'node:stream'
import { SerialPort } from 'serialport'

/** An open port. It ends with `close`, with `error`, with `end`, or with none of them and silence. */
export interface PortStream extends Duplex {
  readonly isOpen: boolean
  close(done?: (error: Error | null) => void): void
}

/** Opens a port or rejects with the library's error. Handed in, so that tests can give ports of their own. */
export type OpenPort = (path: string, baudRate: number) => Promise<PortStream>

/** Names of the serial ports there are now. */
export type ListPorts = () => Promise<readonly string[]>

/**
 * The real thing. `lock` keeps a second reader out, who would take half of our bytes. `hupcl: false` leaves DTR
 * up on closing: on hobby boards its edge is a reset. Opening raises DTR all the same; no system lets one avoid
 * that, so a board may boot now and be quiet for a second or two.
 */
export const openSerialPort: OpenPort = (path, baudRate) =>
  new Promise((resolve, reject) => {
    const port = new SerialPort({ path, baudRate, autoOpen: false, lock: true, hupcl: false })
    port.open((error) => {
      if (error) reject(error)
      else {
        askForLowLatency(port)
        resolve(port)
      }
    })
  })

/** USB adapters hold bytes back for 16 ms unless asked not to. Others refuse, which does no harm. */
function askForLowLatency(port: SerialPort): void {
  // The library's types leave out this flag, which its Linux part knows; the others stay as on opening.
  const flags = { dtr: true, rts: true, lowLatency: true }
  port.set(flags, () => undefined)
}

/** An unreadable list is an empty one: it only serves to find a board again under another name. */
export const listSerialPorts: ListPorts = async () => {
  try {
    return (await SerialPort.list()).map(({ path }) => path)
  } catch {
    return []
  }
}
