import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { makeAppend } from '../../../../server/history/append.ts'
import { HistoryError } from '../../../../server/history/errors.ts'
import type { History, RawRecord } from '../../../../server/history/history.ts'
import { openHistory } from '../../../../server/history/open.ts'
import type { NewAct } from '../../../../server/messages/acts.ts'
import type { NewBend } from '../../../../server/messages/bends.ts'
import type { NewChainRevision } from '../../../../server/messages/chain.ts'
import type { NewExport } from '../../../../server/messages/exports.ts'
import type { NewPersonChange } from '../../../../server/messages/people.ts'
import type {
  BendReadout,
  NewCalibration,
  NewCheck,
  NewReferencePiece,
  NewSixPositions,
  ReadoutEntry,
} from '../../../../server/messages/readout.ts'
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

const every = {
  schema: 1 as const,
  station: SETUP.station,
  who: 'Quality',
  software: '0.1.0',
  simulated: true,
}

/** A calibration of the shop's readout, as it is handed in. */
export function newCalibration(changes: Partial<NewCalibration> = {}): NewCalibration {
  const point = { readoutSdDeg: 0.004, standardDeg: 0.05 }
  return {
    kind: 'calibration',
    ...every,
    at: '2026-01-05T06:30:00.000Z',
    sensor: SETUP.sensor,
    firmware: null,
    gauge: { name: 'Angle blocks', certificate: 'C-17' },
    toleranceDeg: 0.3,
    hasFixedZero: true,
    curve: 'once',
    turnDeg: 360.123456,
    offsetDeg: -12.5,
    harmonics: [{ cosDeg: 0.021, sinDeg: -0.2 }],
    points: [
      { ...point, readoutDeg: 12.5, knownDeg: 0, residualDeg: 0.01 },
      { ...point, readoutDeg: 102.4, knownDeg: 90, residualDeg: -0.01 },
    ],
    residualSdDeg: 0.01,
    leaveOneOutDeg: null,
    sparePoints: 3,
    condition: 12,
    spanDeg: 90,
    repeatSdDeg: 0.004,
    gaugeStandardDeg: 0.05,
    uncertainty: [
      { atDeg: 45, standardDeg: 0.01 },
      { atDeg: 90, standardDeg: 0.02 },
    ],
    ...changes,
  }
}

const axis = { offsetG: 0.012, unitG: 1.0031 }
const at = (xG: number, yG: number, zG: number) => ({ xG, yG, zG })

export const newSixPositions = (changes: Partial<NewSixPositions> = {}): NewSixPositions => ({
  kind: 'six-positions',
  ...every,
  at: '2026-01-05T06:20:00.000Z',
  sensor: { ...SETUP.sensor, mount: 'swing-tilt' },
  firmware: '1.2',
  positions: [at(1, 0, 0), at(-1, 0, 0), at(0, 1, 0), at(0, -1, 0), at(0, 0, 1), at(0, 0, -1)],
  ...{ x: axis, y: axis, z: axis },
  ...changes,
})

export const newPiece = (changes: Partial<NewReferencePiece> = {}): NewReferencePiece => ({
  kind: 'reference-piece',
  ...every,
  at: '2026-01-05T06:40:00.000Z',
  name: 'REF-90',
  knownDeg: 90.02,
  standardDeg: 0.03,
  gauge: { name: 'Coordinate machine', certificate: '' },
  limitDeg: 0.2,
  everyDays: 7,
  ...changes,
})

export const newCheck = (changes: Partial<NewCheck> = {}): NewCheck => ({
  kind: 'check',
  ...every,
  at: '2026-01-05T06:50:00.000Z',
  sensor: SETUP.sensor,
  piece: 2,
  calibration: 1,
  knownDeg: 90.02,
  readoutDeg: 90.1,
  readoutSdDeg: 0.004,
  differenceDeg: 0.08,
  limitDeg: 0.2,
  expandedDeg: 0.14,
  passed: true,
  ...changes,
})

/** A person's decision about the first bend. */
export const newAct = (changes: Partial<NewAct<'teaching'>> = {}): NewAct<'teaching'> => ({
  kind: 'teaching',
  schema: 1,
  at: '2026-01-05T09:00:00.000Z',
  who: 'Quality',
  decision: 'taken-out',
  reason: 'The clamp had slipped: marks on the tube.',
  bendId: 1,
  software: '0.1.0',
  ...changes,
})

/** A revision of the shop's chain. */
export const newRevision = (changes: Partial<NewChainRevision> = {}): NewChainRevision => ({
  schema: 1,
  at: '2026-01-05T09:30:00.000Z',
  station: SETUP.station,
  who: 'Quality',
  why: 'The pump hums at 50 Hz.',
  name: 'die-encoder',
  chain: '{"format":"overbend-chain"}',
  software: '0.1.0',
  ...changes,
})

export const newExport = (changes: Partial<NewExport> = {}): NewExport => ({
  ...{ schema: 1, at: '2026-01-05T09:00:00.000+01:00', who: 'Quality', device: '192.0.2.7' },
  ...{ format: 'csv', filter: { part: 'Rail', piece: 17 }, records: 2, software: '0.1.0' },
  ...changes,
})

export const newPersonChange = (changes: Partial<NewPersonChange> = {}): NewPersonChange => ({
  ...{ schema: 1, at: '2026-01-05T05:00:00.000Z', who: 'Quality', whoKnownBy: 'typed' },
  ...{ person: 'Quality', change: 'added', role: 'administrator', reason: 'The first.' },
  software: '0.1.0',
  ...changes,
})

/** What a bend says of the readout of that shop. */
export const readoutOf = (calibration: ReadoutEntry, check: ReadoutEntry): BendReadout => ({
  calibration: { number: calibration.id, at: calibration.at, hash: calibration.hash },
  check: { number: check.id, at: check.at, hash: check.hash, passed: true },
  standing: 'overdue',
  why: 'The last check is more than 7 days old.',
  releasedExpandedDeg: 0.14,
})

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
export function fillShop(
  dir: string,
  bends: number,
  changes: Partial<NewBend> = {},
  raw = rawOf,
): void {
  openShop(dir).close()
  const db = new Database(join(dir, 'overbend.sqlite'))
  db.pragma('synchronous = OFF')
  const append = makeAppend(db)
  db.transaction(() => {
    for (let n = 1; n <= bends; n += 1) append(newBend(n, changes), raw(n))
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
