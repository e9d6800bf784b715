import { fork } from 'node:child_process'
import { once } from 'node:events'
import type { ProvedBend } from '../messages/chain.ts'
import type { ProofTask } from './chain-proof.ts'

const isBuilt = import.meta.url.endsWith('.js')
const PROGRAM = new URL(`./chain-proof.child.${isBuilt ? 'js' : 'ts'}`, import.meta.url)
/** From the sources, as tests and `npm run dev` run, the program needs the loader too. */
const FLAGS = isBuilt ? [] : ['--import', 'tsx']
/** Twenty bends of many minutes take some seconds; what takes longer hangs. */
const PROVED_WITHIN_MS = 60_000

/** Proves a draft in a process of its own: the live angle goes on meanwhile. @throws Error when it ends without. */
export async function proveAside(task: ProofTask): Promise<ProvedBend[]> {
  const child = fork(PROGRAM, { execArgv: FLAGS, serialization: 'advanced', stdio: 'inherit' })
  const ended = new AbortController()
  const signal = AbortSignal.any([ended.signal, AbortSignal.timeout(PROVED_WITHIN_MS)])
  child.once('exit', () => ended.abort(new Error('The proof ended without an answer.')))
  try {
    const answer = once(child, 'message', { signal })
    child.send(task)
    const [proved] = await answer
    return proved as ProvedBend[]
  } finally {
    child.kill()
  }
}
