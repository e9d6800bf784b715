import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { programArgs } from '../support/programs.ts'

const ROOT = join(import.meta.dirname, '../..')

/** `overbend decode` as a process of its own. */
export function startDecode(flags: readonly string[], onOutput: (text: string) => void) {
  const child = spawn(process.execPath, [...programArgs('server/main.ts'), 'decode', ...flags], {
    cwd: ROOT,
  })
  const closed = once(child, 'close')
  let stderr = ''
  let gone = false
  child.stderr.on('data', (piece) => {
    stderr += piece
  })
  child.stdout.on('data', (piece) => onOutput(String(piece)))
  // A child that has refused its flags, or has seen its reader go, closes its input; its exit code tells why.
  child.stdin.on('error', () => {
    gone = true
  })

  /** Resolves when the child has room for more, or is over. */
  async function write(bytes: Uint8Array | string): Promise<void> {
    if (gone || child.stdin.write(bytes)) return
    await Promise.race([once(child.stdin, 'drain').catch(() => undefined), closed])
  }

  return {
    write,
    /** Closes the child's input and waits for its end. */
    async end() {
      child.stdin.end()
      const [code] = await closed
      return { code: code as number | null, stderr }
    },
    stopReading: () => child.stdout.destroy(),
    /** Highest resident memory so far, in MiB, as the kernel counts it. */
    peakMib() {
      const status = readFileSync(`/proc/${child.pid}/status`, 'utf8')
      return Number(/^VmHWM:\s+(\d+) kB$/m.exec(status)?.[1]) / 1024
    },
  }
}
