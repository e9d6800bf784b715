import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { busyness } from './figures.ts'
import { measureBundle } from './start-bundle.ts'
import { measureMemory } from './start-memory.ts'
import { measureStart } from './start-times.ts'

/** What it costs to have the daemon: the wait at the start, the memory, the bytes a browser loads. */
const folder = mkdtempSync(join(tmpdir(), 'overbend-start-'))
try {
  console.log('Bundle, bytes')
  console.table(measureBundle())
  console.log(`Start; ${busyness()}`)
  console.table(await measureStart(folder))
  console.log('Memory')
  console.table(await measureMemory(folder))
} finally {
  rmSync(folder, { recursive: true, force: true })
}
