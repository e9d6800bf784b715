import { bends } from './counted.ts'
import { apart } from './format.ts'

/** A rule, as far as its words go. */
interface Rule {
  readonly name: string
  readonly sigmas?: number
  readonly length?: number
  readonly least?: number
}

/** What a broken rule says, by the kind of pattern. */
const RULES: Readonly<Record<string, (rule: Rule) => string>> = {
  beyond: ({ sigmas }) => `more than ${sigmas} sigma from the middle`,
  side: ({ length }) => `${length} in a row on one side of the middle`,
  trend: ({ length }) => `${length} in a row rising, or falling`,
  alternating: ({ length }) => `${length} in a row up and down by turns`,
  zone: ({ least, length, sigmas }) =>
    `${least} of ${length} more than ${sigmas} sigma out, on one side`,
  within: ({ length, sigmas }) => `${length} in a row within ${sigmas} sigma`,
  outside: ({ length, sigmas }) => `${length} in a row, none within ${sigmas} sigma`,
}

type ProcessField = 'station' | 'die' | 'lot'

const ANOTHER: Readonly<Record<ProcessField, string>> = {
  station: 'another bender',
  die: 'another die',
  lot: 'another lot',
}

/** The texts of the charts over a selection of bends. */
export const chartWords = {
  title: 'Charts',
  back: 'These bends as a list',
  print: 'Print',
  every: 'All bends of the history.',
  counted: (measured: number, unmeasured: number, voided: number) =>
    [
      `${bends(measured)} in these charts`,
      ...(unmeasured > 0 ? [`${bends(unmeasured)} without a released angle left out`] : []),
      ...(voided > 0 ? [`${bends(voided)} void, shown apart and not counted`] : []),
    ].join('; '),
  simulated: (count: number, all: number) =>
    count === all
      ? 'Simulated: the built-in bench made all of these, and no tube was bent.'
      : `Simulated: the built-in bench made ${count} of these, and no tube was bent for them.`,
  withoutSimulated: 'Charts without them',
  none: 'No bend with a released angle is among these.',
  error: 'Error in the order of bending',
  errorAxis: 'Released less wanted, °',
  ranges: 'Step from bend to bend',
  rangesAxis: 'Moving range, °',
  order: 'Place in the order of bending',
  label: (what: string, count: number) =>
    `${what}: ${bends(count)}. The table below says the same.`,
  hint: 'A press on a point opens its bend.',
  at: (id: number, off: string, changed: readonly ProcessField[]) =>
    [`Bend ${id}: ${off}`, ...changed.map((field) => ANOTHER[field])].join(', '),
  keys: {
    tolerance: 'tolerance of each bend',
    limit: 'limits, 3 sigma either way',
    centre: 'mean',
    broken: 'completes a pattern that chance seldom makes',
    void: 'void',
    change: 'another bender, die or lot from here on',
  },
  mixed: {
    said: (parts: readonly string[]) =>
      `These bends are of ${parts.join(' and ')}: more than one process. Limits and rules then tell whether they are alike, not whether one is steady.`,
    many: {
      station: (count: number) => `${count} benders`,
      die: (count: number) => `${count} dies`,
      lot: (count: number) => `${count} lots`,
    },
    one: { station: 'Charts of one bender', die: 'Charts of one die', lot: 'Charts of one lot' },
    named: (name: string, count: number) => `${apart(name)} (${count})`,
    unnamed: (count: number) => `without a name (${count})`,
    more: (count: number) => `and ${count} more`,
    help: 'A step across a change is no moving range, and there is no Cp and no Cpk.',
  },
  facts: {
    mean: 'Mean',
    sd: 'Standard deviation',
    within: 'Sigma from the moving ranges',
    limits: 'Limits of single values',
    rangeLimit: 'Limit of a moving range',
    constants: 'Constants used',
  },
  constants: (d2: string, D4: string) => `d2 ${d2}, D4 ${D4}`,
  stable: 'No rule is broken: what varies here varies as by chance.',
  still:
    'These bends do not vary at all, so limits tell nothing: look whether the readout is fine enough.',
  unstable: 'Not as by chance:',
  few: (count: number) =>
    `Of ${bends(count)} limits and indices are rough: they settle with some 30.`,
  apart: 'Not as by chance, if all were one process:',
  rule: (rule: Rule) => RULES[rule.name]?.(rule) ?? rule.name,
  stepTooLarge: 'a step beyond its limit',
  times: (what: string, count: number) => `${what}: ${bends(count)}`,
  looked: 'Looked for',
  capability: 'Capability',
  index: 'Index',
  value: 'Value',
  interval: (level: string) => `${level} % interval`,
  from: 'Sigma from',
  estimators: { 'moving-ranges': 'moving ranges', 'all-values': 'all values' },
  indices: { cp: 'Cp', cpk: 'Cpk', pp: 'Pp', ppk: 'Ppk' },
  mixedIndex: 'Of more than one process there is only what came out, not what one is capable of.',
  unstableIndex: 'Of a process that is not stable an index foretells nothing.',
  spreads: (name: string) => `${name}, means with their scatter: the table below says the same.`,
  spreadKey: 'Square: mean; bar: one standard deviation either way. The table has them all.',
  lotsAxis: 'Springback, °; lots in the order of bending',
  causesAxis: 'Put to the error, °',
  lots: 'Springback by lot',
  lot: 'Lot',
  count: 'Bends',
  mean: 'Mean',
  sd: 'Standard deviation',
  wanted: 'Wanted',
  span: (least: string, most: string) => (least === most ? least : `${least} to ${most}`),
  lotsMixed: (least: string, most: string) =>
    `These bends were bent to ${least} to ${most}, and springback grows with the angle: a lot with more of the large ones shows more of it though its tube is alike. So the lots are not drawn side by side; compare only those that were bent to one and the same angle.`,
  lotsLeftOut: (count: number) =>
    count === 1 ? '1 more lot is not shown.' : `${count} more lots are not shown.`,
  causes: 'Where the error came from',
  cause: 'From',
  part: 'Part',
  causeNames: { stop: 'the stop', tube: 'the tube', aim: 'the aim' },
  readout: (mean: string, count: number) =>
    `The readout may have added up to ± ${mean} to each of these, on average of the ${bends(count)} of a calibrated one.`,
  table: 'All points as a table',
  bend: 'Bend',
  offBy: 'Off by',
  step: 'Step',
  mark: 'Mark',
  marks: { broken: 'completes a pattern', void: 'void' },
  thinned: (shown: number, all: number) =>
    `Drawn are ${shown} of ${all}: of each stretch the least, the largest, and what breaks a rule. Figures are of all.`,
  unknown: '–',
}
