import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { makeAppend } from '../../../../server/history/append.ts'
import { HistoryError } from '../../../../server/history/errors.ts'
import type { History, RawRecord } from '../../../../server/history/history.ts'
import { openHistory } from '../../../../server/history/open.ts'
import type { NewBend } from '../../../../server/messages/bends.ts'
import type { Setup } from '../../../../server/messages/setup.ts'

/** The invented boat-rail shop. */
export const SETUP: Setup = {
  station: 'Rail bender',
  die: { name: '38 rail', odMm: 38.1, clrMm: 114.3 },
  tube: { odMm: 38.1, wallMm: 1.65, material: '316l-annealed', lot: 'L-1' },
  sensor: { mount: 'die', countsPerTurn: 16_384, direction: 'forward' },
}

/** The `n`th bend of the shop: 20 s after the one before, parts and lots in turn. */
export function newBend(n: number, changes: Partial<NewBend> = {}): NewBend {
  const { tube, ...setup } = SETUP
  const startMs = Date.UTC(2026, 0, 5, 7) + n * 20_000
  return {
    schema: 1,
    startedAt: new Date(startMs).toISOString(),
    finishedAt: new Date(startMs + 12_345).toISOString(),
    wantedDeg: 90,
    toleranceDeg: 0.5,
    commandedDeg: 93.412345,
    peakDeg: 93.5 + n / 1000,
    releasedDeg: 90.1,
    releasedSeDeg: 0.004321,
    springbackDeg: 3.4,
    checkedDeg: null,
    hits: 1,
    goes: [
      {
        commandedDeg: 93.412345,
        cueDeg: 93.1,
        cueRateDegPerS: 12.75,
        peakDeg: 93.5 + n / 1000,
        peakAtS: 6.25,
        releasedDeg: 90.1,
        releasedSeDeg: 0.004321,
        releasedAtS: 9.3,
        strokes: 1,
      },
    ],
    verdict: 'in',
    closedBy: 'accepted',
    learned: 'yes',
    notLearnedWhy: null,
    prediction: {
      springbackDeg: 3.3,
      lowDeg: 2.9,
      highDeg: 3.7,
      degreesOfFreedom: 4.5,
      bendsLearned: n - 1,
    },
    setupId: 1,
    setup,
    tube,
    job: {
      part: n % 2 === 0 ? 'Rail' : 'Ladder',
      piece: n,
      bendNumber: 1,
      wantedDeg: 90,
      toleranceDeg: 0.5,
      operator: `Operator ${(n % 3) + 1}`,
    },
    datumDeg: 211.5,
    leadS: 0.12,
    chainRevision: 'die-encoder@1',
    calibration: 'none',
    verification: null,
    firmware: null,
    software: '0.1.0',
    simulated: true,
    ...changes,
  }
}

export const rawOf = (n: number): RawRecord => ({
  chain: 'die-encoder@1',
  snapshot: `{"n":${n}}`,
  lines: [`${n}.000000\td\t$A,${n}*00`, `${n}.005000\td\t$B,µ*11`, `${n}.006000\th\tdatum`],
})

export function makeFolder(): { dir: string; file: string; remove: () => void } {
  const dir = mkdtempSync(join(tmpdir(), 'overbend-history-'))
  const file = join(dir, 'overbend.sqlite')
  return { dir, file, remove: () => rmSync(dir, { recursive: true, force: true }) }
}

export const FIXED_MS = Date.UTC(2026, 0, 5, 6)

/** An open history with the shop's set-up and so many bends. */
export function openShop(dir: string, bends = 0): History {
  const history = openHistory(dir, { wallMs: () => FIXED_MS })
  history.addSetup(SETUP)
  for (let n = 1; n <= bends; n += 1) history.append(newBend(n), rawOf(n))
  return history
}

/** The same for many bends: one transaction and no waiting for the disk, by the code that appends. */
export function fillShop(dir: string, bends: number, changes: Partial<NewBend> = {}): void {
  openShop(dir).close()
  const db = new Database(join(dir, 'overbend.sqlite'))
  db.pragma('synchronous = OFF')
  const append = makeAppend(db)
  db.transaction(() => {
    for (let n = 1; n <= bends; n += 1) append(newBend(n, changes), rawOf(n))
  })()
  db.close()
}

/** The refusal that `work` ends in; fails if it does not. */
export function refusalOf(work: () => unknown): HistoryError {
  try {
    work()
  } catch (error) {
    if (error instanceof HistoryError) return error
    throw error
  }
  throw new Error('It was not refused.')
}

/** The same for work that takes its time. */
export async function lateRefusalOf(work: Promise<unknown>): Promise<HistoryError> {
  const outcome = await work.then(
    () => new Error('It was not refused.'),
    (error: unknown) => error,
  )
  if (outcome instanceof HistoryError) return outcome
  throw outcome
}

/** What a person with the file and a tool can do to it: the triggers are dropped first. */
export function tamper(file: string, sql: string, ...values: unknown[]): void {
  const db = new Database(file)
  const triggers = db.prepare("SELECT name FROM sqlite_schema WHERE type = 'trigger'").pluck().all()
  db.pragma('foreign_keys = OFF')
  db.pragma('ignore_check_constraints = ON')
  for (const name of triggers) db.exec(`DROP TRIGGER "${name}"`)
  db.prepare(sql).run(...values)
  db.close()
}
