import type { Flaw, OvalityBy } from '../../server/messages/act-kinds/inspection.ts'

const flaws: Readonly<Record<Flaw, string>> = {
  wrinkles: 'wrinkles',
  flattened: 'flattened',
  kink: 'a kink',
  crack: 'a crack',
  marks: 'marks of clamp or die',
  other: 'something else, see remark',
}

const ovalityBy: Readonly<Record<OvalityBy, string>> = {
  nominal: 'percent of the nominal diameter, at most',
  mean: 'percent of the mean diameter, at most',
  ratio: 'smallest by largest, at least',
}

/** The texts of what is measured and seen on a bend with the tube in hand. */
export const inspectionWords = {
  asks: {
    gauge: 'Measured with',
    largestOdMm: 'Largest diameter in the bend',
    smallestOdMm: 'Smallest diameter at that place',
    wallMm: 'Thinnest wall outside the bend',
    looks: 'Its looks',
    remark: 'Remark',
    code: 'Limits: code and clause',
    ovalityBy: 'Limit of ovality is',
    ovalityLimit: 'Limit of ovality',
    thinningMaxPercent: 'Wall may be thinner by, %',
  },
  helps: {
    code: 'Its number only; empty: no limits. Look the limits up in the code itself.',
    gauge: 'Caliper, ultrasonic gauge, by eye.',
  } as Readonly<Record<string, string>>,
  looks: { '': 'not looked at', good: 'good', flawed: 'flawed' },
  flaws,
  flawsTitle: 'What is seen',
  ovalityBy: { '': 'no limit', ...ovalityBy },
  notLength: 'A length, such as 38.1 mm or 1.5in; empty: not measured.',
  notNumber: 'A number, such as 8 or 0.9.',
  required: 'Fill this in.',
  needsCode: 'Name the code that the limit is from.',
  ovality: (value: string, by: OvalityBy) =>
    by === 'ratio'
      ? `Smallest by largest diameter ${value}`
      : `Ovality ${value} % of the ${by} diameter`,
  diameters: (largest: string, smallest: string) => `${largest} and ${smallest}`,
  thinning: (wall: string, percent: string) => `Wall ${wall}, ${percent} % thinner`,
  within: (limit: string, code: string) => `within ${limit} of ${code}`,
  outside: (limit: string, code: string) => `outside ${limit} of ${code}`,
  noLimit: 'no limit given',
  good: 'Looks good',
  flawed: (what: string) => (what === '' ? 'Looks flawed' : `Looks flawed: ${what}`),
  measuredWith: (gauge: string) => `Measured with ${gauge}`,
  photo: {
    file: 'The photo: JPEG, PNG or WebP',
    caption: 'What it shows',
    none: 'Choose a photo first.',
  },
} as const
