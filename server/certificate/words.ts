import type { Bend } from '../messages/bends.ts'

/** A true minus, as wide as a plus. */
const MINUS = '\u2212'

/** @param decimals The last digit shown is one that the uncertainty supports: hundredths here. */
function fixed(value: number, decimals = 2): string {
  const text = Math.abs(value).toFixed(decimals)
  return value < 0 && Number(text) !== 0 ? MINUS + text : text
}

export const degrees = (deg: number | null) => (deg === null ? '–' : `${fixed(deg)}°`)

export function signed(deg: number | null): string {
  if (deg === null) return '–'
  const text = degrees(deg)
  return deg > 0 && text !== '0.00°' ? `+${text}` : text
}

/** Rounded up: what is told is never better than what is known. */
export const expanded = (deg: number) => `± ${fixed(Math.ceil(deg * 100 - 1e-6) / 100)}°`

const VERDICTS: Readonly<Record<Bend['verdict'], string>> = {
  in: 'in',
  under: 'UNDER',
  over: 'OVER',
  incomplete: 'INCOMPLETE',
}

const STANDINGS: Readonly<Record<string, string>> = {
  good: 'in order',
  overdue: 'check overdue',
  failed: 'check failed',
  none: 'no check is due: no reference piece',
}

const bends = (count: number) => (count === 1 ? '1 bend' : `${count} bends`)

/** Every text of the certificate, in one place, so that a shop can translate it. */
export const words = {
  title: 'Bend certificate',
  piece: (part: string, piece: number) => `${part}, piece ${piece}`,
  continued: 'continued',
  summary(all: number, inTolerance: number, voided: number): string {
    const counted = all - voided
    const voids = voided === 0 ? '' : ` ${bends(voided)} void, not counted.`
    return `${bends(counted)}: ${inTolerance} in tolerance, ${counted - inTolerance} not.${voids}`
  },
  gone: (records: readonly number[]) =>
    `Recorded for this piece and amended since, so not counted here: record ${records.join(', ')}.`,
  columns: [
    'bend',
    'record',
    'wanted',
    'stop at',
    'peak',
    'released ± U',
    'off by',
    'checked',
    'goes',
    'verdict',
    'with U',
  ],
  proof: { 'proved-in': 'proved in', 'proved-out': 'proved out', undecided: 'undecided' },
  verdict: ({ verdict }: Bend, isVoid: boolean) => (isVoid ? 'VOID' : VERDICTS[verdict]),
  uncertainty:
    'U is the expanded uncertainty of the released angle for 95 % (JCGM 100); – where it is not known, as of a readout that was not ' +
    'calibrated. The verdict compares the released angle itself with the tolerance; U is not taken off it. With U (ISO 14253-1): ' +
    'proved in or out where all of the angle ± U lies within the tolerance or beyond it, else undecided; – also where the readout ' +
    'was in doubt.',
  simulated: 'SIMULATED: made by the built-in bench. No tube was bent.',
  /** @param day ISO 8601. */
  imported(from: { file: string; by: string; day: string }, ids: readonly number[], all: number) {
    const told = `mported from ${from.file} by ${from.by} on ${from.day}: no sensor saw`
    if (ids.length === all) return `I${told} ${all === 1 ? 'this bend' : 'these bends'}.`
    return `${ids.length} of ${bends(all)} i${told} ${ids.length === 1 ? 'it' : 'them'} (record ${ids.join(', ')}).`
  },
  notKnown: 'not known: imported',
  amended: (recorded: string, to: string | null) => `${recorded}, amended to ${to ?? 'nothing'}`,
  now: (standing: string) => `now ${standing}`,
  nowMeans: 'now: as amended since; who did it and why stands below.',
  traces: 'Angle over time; right, how it came to rest. Shaded: the tolerance',
  bendName: (bendNumber: number) => `Bend ${bendNumber}`,
  noTrace: 'cannot be run again here; its raw lines are kept',
  noLines: (ids: readonly number[], all: number) =>
    ids.length === all
      ? 'No traces: no raw lines were kept of these bends.'
      : `No trace of record ${ids.join(', ')}: no raw lines were kept.`,
  peak: 'peak',
  released: 'released',
  inForce: 'In force when it was bent',
  facts: {
    station: 'bender',
    die: 'die',
    tube: 'tube',
    lot: 'lot',
    material: 'material',
    tolerance: 'tolerance',
    revision: 'drawing revision',
    finder: 'angle finder',
    operator: 'bent by',
    time: 'bent',
    calibration: 'calibration',
    check: 'last check',
    standing: 'readout',
    chain: 'signal chain',
    software: 'software',
    firmware: 'firmware',
  },
  never: 'never checked',
  ownTolerance: 'the shop’s own',
  byClass: (toleranceClass: string, legMm: number) =>
    `ISO 2768-${toleranceClass}, shorter leg ${legMm} mm`,
  standing: (standing: string | undefined) =>
    standing === undefined ? '–' : (STANDINGS[standing] ?? standing),
  deeds: 'Done about these bends since',
  deed: (record: number, at: string, who: string, what: string) =>
    `Record ${record}, ${at}, ${who}: ${what}`,
  records: 'Place in the record',
  record: (id: number) => `record ${id}`,
  head: (records: number) => `Head of the record when this was issued, ${records} bends`,
  seal: 'Signed with Ed25519',
  fingerprint: 'key, SHA-256',
  unsealed: 'Not signed: hold the hashes against the shop’s record.',
  attached: (name: string) =>
    `The file ${name} inside this PDF holds the records themselves. The last line of the PDF signs every byte of it: ` +
    'overbend verify checks both on any machine, with the public key alone.',
  caution:
    'This sheet tells what was measured. It approves nothing: angles say nothing of wall thinning, welds, material or design. ' +
    'Structures that protect people need their own rules and an inspector. Confirm critical parts with a calibrated instrument ' +
    'of its own. Local rules and the decision of a competent person come first.',
  block: {
    part: 'part',
    piece: 'piece',
    lot: 'lot',
    issued: 'issued',
    page: 'page',
    head: 'head of the record',
    pages: (page: number, pages: number) => `${page} of ${pages}`,
  },
} as const
