import { beforeAll, describe, expect, test } from 'vitest'
import { readSessions } from '../protocol/session-file.ts'
import { skipWithout } from '../support/needs.ts'
import { answersOf, buildHost } from './c-host.ts'

/** Four lots of a million lines take ten seconds in all on a machine that has nothing else to do. */
const LINES = 1_000_000
const SEEDS = [1, 2, 3, Number(process.env['OVERBEND_FUZZ_SEED'] ?? 4)]

const golden = readSessions().flatMap(({ lines }) => lines.map(({ line }) => line))

describe.skipIf(skipWithout('gcc'))(
  'the C library under address and undefined-behaviour checks',
  () => {
    let program = ''
    beforeAll(async () => {
      program = await buildHost('fuzz-host')
    })

    test.each(SEEDS)(`takes ${LINES} random and mutated lines, seed %i`, (seed) => {
      const [report = ''] = answersOf(program, [`${seed}`, `${LINES}`], golden)
      const [lines, taken, toDevice, said, leftOut] = [...report.matchAll(/\d+/g)].map(Number)
      expect(lines).toBe(LINES)
      // It was no walk past closed doors: lines were taken, obeyed, answered, and left out for want of room.
      expect(taken).toBeGreaterThan(LINES / 10)
      expect(toDevice).toBeGreaterThan(LINES / 2)
      expect(said).toBeGreaterThan(LINES / 20)
      expect(leftOut).toBeGreaterThan(0)
    })
  },
)
