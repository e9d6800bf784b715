import { onTestFinished } from 'vitest'
import { type Daemon, startDaemon } from './daemon.ts'

/** The real daemon, ready; it ends with the test in hand, also where that fails. */
export async function startHere(args: readonly string[]): Promise<Daemon> {
  const daemon = await startDaemon(args)
  onTestFinished(async () => void (await daemon.stop()))
  return daemon
}
