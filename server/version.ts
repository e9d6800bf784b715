import { readFileSync } from 'node:fs'
import { join } from 'node:path'

/** From the sources package.json is one folder up, from the built server two. */
function readVersion(): string {
  for (const place of ['..', '../..']) {
    try {
      const file = join(import.meta.dirname, place, 'package.json')
      const { version } = JSON.parse(readFileSync(file, 'utf8')) as { version: string }
      return version
    } catch {
      // Not here: the other place.
    }
  }
  return 'unknown'
}

/** What records and pages name as the software that made them. */
export const software = readVersion()
