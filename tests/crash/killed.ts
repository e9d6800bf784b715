import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { setTimeout } from 'node:timers/promises'

/** Runs a bundled child script until it has said "ready" and `afterMs` more, kills it with SIGKILL, returns its lines. */
export async function killed(
  script: string,
  args: readonly string[],
  afterMs: number,
): Promise<string[]> {
  const child = spawn(process.execPath, [script, ...args], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  // Closed, not just exited: what it said before its end is then read.
  const closed = once(child, 'close')
  let said = ''
  const isReady = new Promise<void>((resolve) => {
    child.stdout.on('data', (chunk: Buffer) => {
      said += chunk.toString()
      if (said.startsWith('ready\n')) resolve()
    })
  })
  await Promise.race([isReady, closed])
  await setTimeout(afterMs)
  child.kill('SIGKILL')
  const [, signal] = await closed
  if (signal !== 'SIGKILL') throw new Error(`${script} ended by itself.`)
  // What stands after the last line feed was cut off in the middle.
  return said.split('\n').slice(1, -1)
}
