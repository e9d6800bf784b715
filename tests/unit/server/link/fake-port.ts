import { Duplex } from 'node:stream'
import type { OpenPort, PortStream } from '../../../../server/link/serial-port.ts'

/** A port whose other end is the test. */
export class FakePort extends Duplex implements PortStream {
  isOpen = true
  readonly path: string
  readonly written: string[] = []
  /** While false the device takes nothing, and writes pile up. */
  takes = true

  constructor(path: string) {
    super()
    this.path = path
  }

  override _read(): void {}

  override _write(chunk: Buffer, _encoding: string, done: (error?: Error) => void): void {
    if (!this.takes) return
    this.written.push(chunk.toString('latin1'))
    done()
  }

  /** Bytes from the device. */
  speak(bytes: string | Uint8Array): void {
    this.push(typeof bytes === 'string' ? Buffer.from(bytes, 'latin1') : bytes)
  }

  close(done?: (error: Error | null) => void): void {
    if (!this.isOpen) {
      done?.(new Error('Port is not open'))
      return
    }
    this.isOpen = false
    setImmediate(() => {
      this.emit('close')
      done?.(null)
    })
  }

  /** The ways in which ports go: see the table of serial realities in the design of the link. */
  vanish(how: 'close with error' | 'close' | 'EIO' | 'end' | 'all of it' | 'not a word'): void {
    const eio = Object.assign(new Error('EIO: i/o error, read'), { code: 'EIO' })
    if (how === 'not a word') return
    this.isOpen = false
    if (how === 'EIO' || how === 'all of it') this.emit('error', eio)
    if (how === 'end' || how === 'all of it') this.push(null)
    if (how === 'close' || how === 'all of it') this.emit('close')
    if (how === 'close with error') this.emit('close', Object.assign(eio, { disconnected: true }))
  }
}

/** A machine with ports: a name is there or not, and each opening is noted. */
export function makeFakePorts() {
  const there = new Set<string>()
  const troubles = new Map<string, string>()
  const opened: FakePort[] = []
  const attempts: string[] = []
  const openPort: OpenPort = async (path) => {
    attempts.push(path)
    const trouble = troubles.get(path)
    if (trouble) throw new Error(trouble)
    if (!there.has(path)) throw new Error(`Error: No such file or directory, cannot open ${path}`)
    const port = new FakePort(path)
    opened.push(port)
    return port
  }
  return {
    there,
    troubles,
    opened,
    attempts,
    openPort,
    listPorts: async () => [...there],
    last: (): FakePort => {
      const port = opened.at(-1)
      if (!port) throw new Error('no port was opened')
      return port
    },
  }
}
