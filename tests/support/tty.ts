import type { ChildProcess } from 'node:child_process'
import { existsSync, mkdtempSync, rmSync } from 'node:fs'
import { createServer, type Socket } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { until } from './daemon.ts'
import { endProcess, runUntilEnd } from './programs.ts'

/** A real pseudo-terminal. It can be opened, closed and opened again, by one program after another. */
export interface Tty {
  /** Pulls the cable: whoever has the port open loses it, and its name is gone. */
  unplug(): Promise<void>
  /** The port is there again, under this name. */
  plug(path: string): Promise<void>
  /** Ends it for good. */
  close(): Promise<void>
}

/**
 * Puts a pseudo-terminal at `path`, whose folder must exist.
 *
 * @param onOpened Gets the far end of the wire each time somebody opens the port; it ends with the port.
 */
export async function makeTty(path: string, onOpened: (wire: Socket) => void): Promise<Tty> {
  const folder = mkdtempSync(join(tmpdir(), 'overbend-tty-'))
  const farEnd = join(folder, 'far-end')
  const server = createServer((wire) => {
    wire.on('error', () => wire.destroy())
    onOpened(wire)
  })
  await new Promise<void>((resolve) => server.listen(farEnd, resolve))
  let plugged: string | null = null
  let socat: ChildProcess | null = null

  /** A pseudo-terminal ends when it is closed: for the next to open it there must be another. */
  function offer(): void {
    if (plugged === null) return
    // It looks for who opens it every 20 ms: by itself it would do so once a second.
    const port = `PTY,link=${plugged},raw,echo=0,wait-slave,pty-interval=0.02`
    socat = runUntilEnd('socat', [port, `UNIX-CONNECT:${farEnd}`], { stdio: 'ignore' })
    socat.once('exit', offer)
  }

  async function unplug(): Promise<void> {
    const name = plugged
    plugged = null
    if (socat !== null) await endProcess(socat, 'SIGTERM')
    if (name !== null) rmSync(name, { force: true })
  }

  async function plug(name: string): Promise<void> {
    await unplug()
    plugged = name
    offer()
    await until(
      async () => existsSync(name),
      (isThere) => isThere,
      { seconds: 20, what: `a pseudo-terminal at ${name}` },
    )
  }

  await plug(path)
  return {
    unplug,
    plug,
    async close() {
      await unplug()
      server.close()
      rmSync(folder, { recursive: true, force: true })
    },
  }
}
