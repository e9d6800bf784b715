import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { existsSync } from 'node:fs'
import { type FileHandle, open } from 'node:fs/promises'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'

/** Two pseudo-terminals joined back to back: one is the daemon's port, the other the test's end of the wire. */
export interface PtyPair {
  /** The port's name. */
  readonly path: string
  /** Puts bytes on the wire, all of them before it resolves. */
  speak(bytes: string | Uint8Array): Promise<void>
  /** Pulls the cable: both ends are gone. */
  unplug(): Promise<void>
}

/** @param folder A folder of the test's own; `name` is the port's name in it. */
export async function makePtyPair(folder: string, name: string): Promise<PtyPair> {
  const path = join(folder, name)
  const farPath = join(folder, `${name}-far-end`)
  const ends = [path, farPath].map((link) => `PTY,link=${link},raw,echo=0`)
  const child = spawn('socat', ends, { stdio: 'ignore' })
  await thereBy(10, child, [path, farPath])
  // Reading and writing: a terminal opened for writing only would hang up when it is closed.
  const far = await open(farPath, 'r+')
  return {
    path,
    async speak(bytes) {
      const whole = typeof bytes === 'string' ? Buffer.from(bytes, 'latin1') : bytes
      await writeAll(far, whole)
    },
    async unplug() {
      await far.close().catch(() => undefined)
      await end(child)
    },
  }
}

async function writeAll(far: FileHandle, bytes: Uint8Array): Promise<void> {
  for (let at = 0; at < bytes.length; ) {
    const { bytesWritten } = await far.write(bytes, at, bytes.length - at)
    at += bytesWritten
  }
}

async function thereBy(
  seconds: number,
  child: ChildProcess,
  paths: readonly string[],
): Promise<void> {
  for (let waitedS = 0; waitedS < seconds; waitedS += 0.02) {
    if (paths.every((path) => existsSync(path))) return
    if (child.exitCode !== null) throw new Error(`socat ended with ${child.exitCode}.`)
    await sleep(20)
  }
  await end(child)
  throw new Error(`socat made no ${paths.join(', ')} within ${seconds} s.`)
}

async function end(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return
  const exit = once(child, 'exit')
  child.kill('SIGTERM')
  await exit
}
