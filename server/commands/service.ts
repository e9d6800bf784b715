import { existsSync } from 'node:fs'
import { join } from 'node:path'

/** Beside the sources in a checkout, beside the built server in a package; null when it is not built. */
export function dashboardFolder(): string | null {
  const places = ['../../dashboard', '../../dist/dashboard']
  const folders = places.map((place) => join(import.meta.dirname, place))
  return folders.find((folder) => existsSync(join(folder, 'assets'))) ?? null
}

/** What a service has to say goes to standard error, a JSON document a line. */
export const logLine = (sentence: string, facts: Readonly<Record<string, unknown>> = {}) => {
  process.stderr.write(`${JSON.stringify({ at: new Date().toISOString(), sentence, ...facts })}\n`)
}

/** The first signal ends in order; a second one ends at once. */
export function onSignals(stop: () => Promise<void>): void {
  let isStopping = false
  let exitCode = 0
  const end = () => {
    if (isStopping) process.exit(1)
    isStopping = true
    stop().then(
      () => process.exit(exitCode),
      (error: unknown) => {
        logLine('The daemon could not end in order.', { error: String(error) })
        process.exit(1)
      },
    )
  }
  process.on('SIGINT', end)
  process.on('SIGTERM', end)
  // A fault of our own: the bend in hand is put on record before the daemon ends.
  process.on('uncaughtException', (error) => {
    logLine('The daemon has a fault and ends.', { error: error.stack ?? String(error) })
    exitCode = 1
    end()
  })
}
