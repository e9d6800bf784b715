import { fork } from 'node:child_process'
import { once } from 'node:events'
import { endProcess } from '../support/programs.ts'
import type { Order, Sent } from './wire-to-browser-writer.child.ts'

/** Puts samples on wires, from a process of its own; resolves when the last is written, with when each was. */
export async function write(order: Order): Promise<Sent> {
  const program = new URL('./wire-to-browser-writer.child.ts', import.meta.url)
  const child = fork(program, { execArgv: ['--import', 'tsx'] })
  const ended = once(child, 'exit').then(([code]) => {
    throw new Error(`The writer ended with ${code}.`)
  })
  ended.catch(() => undefined)
  try {
    child.send(order)
    const [sent] = await Promise.race([once(child, 'message'), ended])
    return sent as Sent
  } finally {
    await endProcess(child, 'SIGKILL')
  }
}
