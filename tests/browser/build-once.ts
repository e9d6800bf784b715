import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { build } from 'vite'
import type { TestProject } from 'vitest/node'

declare module 'vitest' {
  export interface ProvidedContext {
    dashboardDir: string
  }
}

/** Builds the dashboard once for all browser tests, into a folder of its own: they neither need nor touch `dist`. */
export default async function buildOnce(project: TestProject): Promise<() => void> {
  const outDir = mkdtempSync(join(tmpdir(), 'overbend-dashboard-'))
  await build({ logLevel: 'error', build: { outDir, emptyOutDir: true } })
  project.provide('dashboardDir', outDir)
  return () => rmSync(outDir, { recursive: true, force: true })
}
