import { bendProof, releasedExpandedDegOf } from '../bend/bend-proof.ts'
import type { Act } from '../messages/acts.ts'
import { amendmentsOf, signaturesOf, voidedBy } from '../messages/bend-standing.ts'
import type { Bend } from '../messages/bends.ts'

/** What people did about a bend, oldest first. */
export type ActsOn = (bendId: number) => readonly Act[]

type Cell = string | number | boolean | null
type Column = readonly [name: string, cell: (bend: Bend, acts: readonly Act[]) => Cell]

const amended = (bend: Bend, acts: readonly Act[]) =>
  amendmentsOf(bend, acts)
    .map(({ field, to }) => `${field}: ${to ?? 'nothing'}`)
    .join('; ') || null

const signedAs = (role: 'signed' | 'counter-signed') => (_bend: Bend, acts: readonly Act[]) =>
  signaturesOf(acts)
    .filter((one) => one.role === role)
    .map(({ who }) => who)
    .join('; ') || null

/** The same moment at Greenwich, to the millisecond. */
const utc = (at: string) => new Date(at).toISOString()

/** The columns of a CSV file, in order. Names end in the unit; the goes of a bend are in the JSON only. */
const COLUMNS: readonly Column[] = [
  ['id', (bend) => bend.id],
  ['startedAt', (bend) => bend.startedAt],
  ['finishedAt', (bend) => bend.finishedAt],
  ['startedAtUtc', (bend) => utc(bend.startedAt)],
  ['finishedAtUtc', (bend) => utc(bend.finishedAt)],
  ['part', (bend) => bend.part],
  ['drawingRevision', (bend) => bend.job.drawingRevision ?? null],
  ['angleFinder', (bend) => bend.job.angleFinder ?? null],
  ['piece', (bend) => bend.piece],
  ['bendNumber', (bend) => bend.bendNumber],
  ['lot', (bend) => bend.lot],
  ['operator', (bend) => bend.operator],
  ['wantedDeg', (bend) => bend.wantedDeg],
  ['toleranceDeg', (bend) => bend.toleranceDeg],
  ['commandedDeg', (bend) => bend.commandedDeg],
  ['peakDeg', (bend) => bend.peakDeg],
  ['releasedDeg', (bend) => bend.releasedDeg],
  ['releasedSeDeg', (bend) => bend.releasedSeDeg],
  ['springbackDeg', (bend) => bend.springbackDeg],
  ['checkedDeg', (bend) => bend.checkedDeg],
  ['hits', (bend) => bend.hits],
  ['verdict', (bend) => bend.verdict],
  ['closedBy', (bend) => bend.closedBy],
  ['learned', (bend) => bend.learned],
  ['notLearnedWhy', (bend) => bend.notLearnedWhy],
  ['predictedSpringbackDeg', (bend) => bend.prediction?.springbackDeg ?? null],
  ['predictedLowDeg', (bend) => bend.prediction?.lowDeg ?? null],
  ['predictedHighDeg', (bend) => bend.prediction?.highDeg ?? null],
  ['bendsLearned', (bend) => bend.prediction?.bendsLearned ?? null],
  ['setupId', (bend) => bend.setupId],
  ['station', (bend) => bend.setup.station],
  ['die', (bend) => bend.setup.die.name],
  ['dieOdMm', (bend) => bend.setup.die.odMm],
  ['dieClrMm', (bend) => bend.setup.die.clrMm],
  ['tubeOdMm', (bend) => bend.tube.odMm],
  ['tubeWallMm', (bend) => bend.tube.wallMm],
  ['material', (bend) => bend.tube.material],
  ['mount', (bend) => bend.setup.sensor.mount],
  ['countsPerTurn', (bend) => bend.setup.sensor.countsPerTurn],
  ['datumDeg', (bend) => bend.datumDeg],
  ['leadS', (bend) => bend.leadS],
  ['chainRevision', (bend) => bend.chainRevision],
  ['calibration', (bend) => bend.calibration],
  ['verification', (bend) => bend.verification],
  ['calibrationNumber', (bend) => bend.readout?.calibration?.number ?? null],
  ['checkNumber', (bend) => bend.readout?.check?.number ?? null],
  ['checkStanding', (bend) => bend.readout?.standing ?? null],
  ['releasedExpandedDeg', releasedExpandedDegOf],
  // Computed from the record, not of it: the verdict stays as it was recorded.
  ['proof', (bend) => bendProof(bend)],
  ['firmware', (bend) => bend.firmware],
  ['software', (bend) => bend.software],
  ['simulated', (bend) => bend.simulated],
  ['importedFrom', (bend) => bend.imported?.file ?? null],
  ['importedLine', (bend) => bend.imported?.line ?? null],
  ['importedBy', (bend) => bend.imported?.by ?? null],
  // What stands beside the record by now; the columns before these are as it was recorded.
  ['voidBy', (_bend, acts) => voidedBy(acts)?.who ?? null],
  ['voidReason', (_bend, acts) => voidedBy(acts)?.reason ?? null],
  ['amended', amended],
  ['signedBy', signedAs('signed')],
  ['counterSignedBy', signedAs('counter-signed')],
  ['acts', (_bend, acts) => acts.length],
  ['rawLines', (bend) => bend.rawLines],
  ['rawSha256', (bend) => bend.rawSha256],
  ['previousHash', (bend) => bend.previousHash],
  ['hash', (bend) => bend.hash],
]

/** RFC 4180 ends a line so. */
const LINE_END = '\r\n'
const BYTE_ORDER_MARK = '\uFEFF'
/**
 * A spreadsheet takes text that begins so for a formula, and where numbers have a decimal comma it begins a new cell at each
 * semicolon ("CSV injection" of OWASP, from memory).
 */
const FORMULA = /^[\t\r\n]|(?:^|;\s*)[=+\-@＝＋－＠]/
const FORMULA_STARTS = /^(?=[\t\r\n])|(?<=^|;\s*)(?=[=+\-@＝＋－＠])/g
/** RFC 4180, 2.6: such a field stands in quotation marks. */
const NEEDS_QUOTES = /[",\r\n]/

/** Text gets an apostrophe where it would be run as a formula; a number is a number, below zero too. */
function csvCell(cell: Cell): string {
  if (cell === null) return ''
  if (typeof cell !== 'string') return String(cell)
  const harmless = FORMULA.test(cell) ? cell.replaceAll(FORMULA_STARTS, "'") : cell
  return NEEDS_QUOTES.test(harmless) ? `"${harmless.replaceAll('"', '""')}"` : harmless
}

/** Bends as CSV (RFC 4180) with a header, a line at a time; an empty cell is a value that is not there. */
export function* csvOf(
  bends: Iterable<Bend>,
  hasByteOrderMark: boolean,
  actsOn: ActsOn = () => [],
): Generator<string> {
  if (hasByteOrderMark) yield BYTE_ORDER_MARK
  yield COLUMNS.map(([name]) => name).join(',') + LINE_END
  for (const bend of bends) {
    const acts = actsOn(bend.id)
    yield COLUMNS.map(([, cell]) => csvCell(cell(bend, acts))).join(',') + LINE_END
  }
}

/**
 * Bends as one JSON array, a bend a line, as the API gives them; with what was done about each, and what its angle proves
 * of its tolerance, where that is asked for.
 */
export function* jsonOf(bends: Iterable<Bend>, actsOn?: ActsOn): Generator<string> {
  let before = '['
  for (const bend of bends) {
    const told = actsOn ? { ...bend, proof: bendProof(bend), acts: actsOn(bend.id) } : bend
    yield `${before}\n${JSON.stringify(told)}`
    before = ','
  }
  yield before === '[' ? '[]\n' : '\n]\n'
}
