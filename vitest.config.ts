import { defineConfig } from 'vitest/config'

/** A loaded machine is slow, not wrong: what is waited for may take this long. */
const PATIENT = { expect: { poll: { timeout: 20_000 } } }
/** Nor is one that stands still in mid-bend, when a sensor played in real time falls silent: it is tried once more. */
const IN_REAL_TIME = { ...PATIENT, retry: 1 }

/** Files of a worker share what they import: loading it anew for each takes longer than their tests. So a test puts back what it changes. */
const SHARED = { isolate: false }

/** One project a kind of test; `npm test` runs them all. Timed work lives in `tests/bench` only. */
const project = (name: string, more: Record<string, unknown> = {}) => ({
  test: { name, include: [`tests/${name}/**/*.test.ts`], ...more },
})

export default defineConfig({
  test: {
    // Most files wait for a daemon, a page or a wire: two at a time take half as long, also on two cores.
    maxWorkers: 2,
    projects: [
      project('unit', { testTimeout: 60_000, ...SHARED }),
      project('outside', { testTimeout: 60_000, ...SHARED }),
      project('protocol', { testTimeout: 60_000 }),
      project('web', { testTimeout: 30_000, ...PATIENT, ...SHARED }),
      project('simulation', { testTimeout: 300_000 }),
      project('station', { testTimeout: 120_000, ...IN_REAL_TIME }),
      // Of the firmware what is compiled for this machine and knows no clock.
      {
        test: {
          name: 'firmware-parts',
          include: ['tests/firmware/c-*.test.ts'],
          testTimeout: 300_000,
          hookTimeout: 300_000,
        },
      },
      // A controller is simulated cycle by cycle and paced to the clock: nothing runs beside it.
      project('firmware', {
        exclude: ['tests/firmware/c-*.test.ts'],
        testTimeout: 300_000,
        hookTimeout: 300_000,
        maxWorkers: 1,
        sequence: { groupOrder: 1 },
        ...PATIENT,
      }),
      project('crash', {
        testTimeout: 600_000,
        hookTimeout: 120_000,
        ...PATIENT,
      }),
      project('browser', {
        globalSetup: ['tests/browser/build-once.ts'],
        testTimeout: 240_000,
        hookTimeout: 120_000,
        ...IN_REAL_TIME,
      }),
      { test: { name: 'tidy', include: ['tests/tidy.test.ts'], testTimeout: 120_000 } },
      {
        test: {
          name: 'bench',
          include: [],
          benchmark: { include: ['tests/bench/**/*.bench.ts'] },
        },
      },
    ],
  },
})
