import type { Amendable } from './act-kinds/amendment.ts'
import { ACT_KINDS, type Act } from './acts.ts'
import type { Bend, BendMarks } from './bends.ts'

const isKind =
  <K extends Act['kind']>(kind: K) =>
  (act: Act): act is Extract<Act, { kind: K }> =>
    act.kind === kind

const writtenOut = (value: number | null) => (value === null ? null : String(value))

/** What was recorded, written out; null: nothing. */
const RECORDED: Readonly<Record<Amendable, (bend: Bend) => string | null>> = {
  operator: (bend) => bend.operator,
  part: (bend) => bend.part,
  piece: (bend) => writtenOut(bend.piece),
  bendNumber: (bend) => writtenOut(bend.bendNumber),
  lot: (bend) => bend.lot,
  checkedDeg: (bend) => writtenOut(bend.checkedDeg),
  gauge: ({ checkedDeg, job }) => (checkedDeg === null ? null : (job.angleFinder ?? null)),
  note: () => null,
}

export const recordedText = (bend: Bend, field: Amendable): string | null => RECORDED[field](bend)

/** What stands there now: recorded, written as a note, or amended; the last of these. */
export function standingText(bend: Bend, acts: readonly Act[], field: Amendable): string | null {
  const last = acts.findLast(
    (act) =>
      (act.kind === 'amendment' && act.field === field) ||
      (act.kind === 'note' && field === 'note'),
  )
  if (last?.kind === 'amendment') return last.to
  return last?.kind === 'note' ? last.text : recordedText(bend, field)
}

/** The last amendment of each field, where it left another value than the recorded one. */
export function amendmentsOf(bend: Bend, acts: readonly Act[]): Act<'amendment'>[] {
  const last = new Map(acts.filter(isKind('amendment')).map((act) => [act.field, act]))
  return [...last.values()].filter(({ field, to }) => to !== recordedText(bend, field))
}

/** The act that makes a bend void; null where none does. */
export function voidedBy(acts: readonly Act[]): Act<'void'> | null {
  const last = acts.findLast(({ kind }) => kind === 'void' || kind === 'reinstated')
  return last?.kind === 'void' ? last : null
}

const UNSIGNING: ReadonlySet<string> = new Set(
  ACT_KINDS.filter(({ unsigns }) => unsigns).map(({ kind }) => kind),
)

/** Signatures under the bend as it stands now: those that came before another value was put beside it do not count. */
export function signaturesOf(acts: readonly Act[]): Act<'signature'>[] {
  const changed = acts.findLastIndex(({ kind }) => UNSIGNING.has(kind))
  return acts.slice(changed + 1).filter(isKind('signature'))
}

/** What a list shows of the acts about a bend. */
export function marksOf(acts: readonly Act[]): BendMarks {
  const roles = signaturesOf(acts).map(({ role }) => role)
  return {
    isVoid: voidedBy(acts) !== null,
    isAmended: acts.some(({ kind }) => kind === 'amendment'),
    signed: roles.includes('counter-signed') ? 'counter-signed' : (roles[0] ?? null),
  }
}
