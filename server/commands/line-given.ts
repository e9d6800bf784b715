import { createInterface } from 'node:readline/promises'
import { secretLine } from './secret-line.ts'

/** One line from standard input, so that no password stands among the arguments, where every process can read it. */
export async function lineGiven(): Promise<string | null> {
  if (process.stdin.isTTY) {
    process.stderr.write('Password (nothing is shown as you type): ')
    const typed = await secretLine(process.stdin)
    process.stderr.write('\n')
    return typed
  }
  const lines = createInterface({ input: process.stdin, terminal: false })
  for await (const line of lines) {
    lines.close()
    return line
  }
  return null
}
