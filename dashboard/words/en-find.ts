import { bends } from './counted.ts'
import { apart } from './format.ts'

/** What a search of the history is said with. */
export const findWords = {
  look: 'Look for',
  text: 'Words in it',
  part: 'Part',
  piece: 'Piece',
  lot: 'Lot',
  die: 'Die',
  station: 'Bender',
  operator: 'Operator',
  verdict: 'Verdict',
  daysBack: 'Days back',
  firstDay: 'From',
  lastDay: 'To',
  from: 'Started at or after',
  to: 'Started before',
  undecidedSince: 'Not void, no note since',
  amended: 'Amended',
  voided: 'Void',
  signed: 'Signed',
  noted: 'With a note',
  simulated: 'Simulated',
  due: 'To be inspected',
  readout: 'Check of the readout',
  clock: 'Clock',
  any: 'any',
  choices: {
    in: 'in',
    under: 'under',
    over: 'over',
    incomplete: 'incomplete',
    yes: 'yes',
    no: 'no',
    overdue: 'overdue',
    failed: 'failed',
    either: 'overdue or failed',
    good: 'good',
    none: 'no check known',
    'set-back': 'set back before it',
  },
  more: 'More to look for',
  totalHere: (total: string, first: number, last: number) =>
    first === last ? `${total}, here No. ${first}` : `${total}, here No. ${first} to ${last}`,
  noneOlder: (before: number) => `No bend that fits is older than No. ${before}.`,
  conditions: 'Looked for',
  drop: (name: string, value: string) => `Drop ${name}: ${value}`,
  marks: {
    noted: 'note',
    due: 'to be inspected',
    setBack: 'clock set back before it',
  },
  views: {
    title: 'Saved views',
    choose: 'choose a view',
    none: 'none: all bends',
    savedBy: 'Saved by',
    saveThese: 'Save these conditions',
    name: 'Name of the view',
    save: 'Save for everybody here',
    replace: 'Replace the old view',
    remove: 'Remove this view',
    removeSure: 'Remove it for everybody',
    keep: 'Keep it',
    saved: (name: string) => `The view “${apart(name)}” is saved.`,
    removed: (name: string) => `The view “${apart(name)}” is removed.`,
  },
  charts: 'Charts of these bends',
  exports: {
    csv: 'For a spreadsheet (CSV)',
    json: 'For a program (JSON)',
    signed: 'Signed, for another machine',
  },
  unknown: (name: string) =>
    `The address asks for "${name}", which the history does not know; it is left out.`,
  tooLong: (name: string, most: number) =>
    `${name} must have at most ${most} characters; it is left out.`,
  notWhole: (name: string, most: number, value: string) =>
    `${name} must be a whole number from 1 to ${most}, not "${value}"; it is left out.`,
  notTime: (name: string, value: string) =>
    `${name} must be a time such as 2026-01-31T08:00:00Z, not "${value}"; it is left out.`,
  notBend: (value: string) =>
    `The address asks for bends older than "${value}", which is no number of a bend; the newest are shown.`,
  notDay: (name: string, value: string) =>
    `${name} must be a day such as 2026-01-31, not "${value}"; it is left out.`,
  notChoice: (name: string, value: string, choices: string) =>
    `${name} must be one of ${choices}, not "${value}"; it is left out.`,
  summary: {
    verdicts: (inTolerance: number, under: number, over: number, incomplete: number) =>
      `${inTolerance} in, ${under} under, ${over} over, ${incomplete} incomplete`,
    void: (count: number) => `${count} void`,
    span: (earliest: string, latest: string) => `${earliest} to ${latest}`,
    mean: (off: string, measured: number) => `off by ${off} on average of ${measured}`,
    spread: (sd: string) => `standard deviation ${sd}`,
    without: (name: string, count: number) => `Without ${name}: ${bends(count)}`,
  },
} as const
