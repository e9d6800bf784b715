import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { closeSync, openSync, readFileSync } from 'node:fs'
import { setTimeout as wait } from 'node:timers/promises'

/** A child that appends bends, and can be made to stand still at any moment. */
export interface StoppedWriter {
  /** Lets it run on for so long, and has it stand still again. */
  runOn(forMs: number): Promise<void>
  /** What it has said until now, a line each. A file takes it at once, so that none is on its way. */
  said(): string[]
  kill(): Promise<void>
}

/** Of the main thread, which is the one that writes; https://man7.org/linux/man-pages/man5/proc_pid_stat.5.html. */
const stateOf = (pid: number) => /\) (\w)/.exec(readFileSync(`/proc/${pid}/stat`, 'utf8'))?.[1]

async function standStill(child: ChildProcess): Promise<void> {
  child.kill('SIGSTOP')
  while (stateOf(child.pid ?? 0) !== 'T') await wait(1)
}

/** Starts it; its words go to the file `saidFile`. It stands still from its first bend on. */
export async function startWriter(
  script: string,
  args: readonly string[],
  saidFile: string,
): Promise<StoppedWriter> {
  const handle = openSync(saidFile, 'w')
  const child = spawn(process.execPath, ['--import', 'tsx', script, ...args], {
    stdio: ['ignore', handle, 'inherit'],
  })
  closeSync(handle)
  const closed = once(child, 'close')
  const said = () => readFileSync(saidFile, 'utf8').split('\n').slice(0, -1)
  while (!said().includes('ready')) {
    if (child.exitCode !== null) throw new Error(`${script} ended by itself.`)
    await wait(5)
  }
  await standStill(child)
  return {
    async runOn(forMs) {
      child.kill('SIGCONT')
      await wait(forMs)
      await standStill(child)
    },
    said,
    async kill() {
      child.kill('SIGKILL')
      await closed
    },
  }
}
