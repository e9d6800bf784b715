import type { OwnMaterial } from '../../server/messages/material.ts'

const percent = (fraction: number) => `${Number((100 * fraction).toFixed(1))} %`

/** The figures of a metal on one line; what is judgement is said to be. */
function figures(own: OwnMaterial): string {
  const { modulusGpa, yieldMpa, tangentModulusMpa, strengthMpa, exponent } = own
  const { unloadingFactor = 0, slopeSpread = 0, judged = [] } = own
  const hardening =
    exponent === undefined
      ? `tangent modulus ${tangentModulusMpa} MPa`
      : `K ${strengthMpa} MPa, n ${exponent}`
  const judgement = (name: 'unloadingFactor' | 'slopeSpread') =>
    judged.includes(name) ? ' (judgement)' : ''
  return [
    `E ${modulusGpa} GPa`,
    `yield ${yieldMpa} MPa`,
    hardening,
    `${unloadingFactor} E on letting off${judgement('unloadingFactor')}`,
    `spread ±${percent(slopeSpread)}${judgement('slopeSpread')}`,
  ].join(', ')
}

/** The texts about what a tube is made of, and what is expected of it. */
export const materialWords = {
  table: 'Material table',
  usedBefore: 'The shop’s own, used before',
  other: 'Not in the table',
  own: 'My own…',
  bends: 'Not known',
  usedHelp: 'One of the shop’s own, as it was used before.',
  bendsHelp: 'Nothing is known but its size: its own bends will tell.',
  ownTitle: 'A metal of the shop’s own',
  bendsTitle: 'A metal that is not known',
  bendsIntro:
    'It starts from the middle of the table, and may lie 40 % off. So its first bends are a guess with a wide ' +
    'interval: stop short, let off, look, and go again. Each bend narrows it, also for other dies and lots of this name.',
  name: 'What the shop calls it',
  nameHelp: 'With other figures the same name is another metal.',
  bendsNameHelp: 'Bends of this name teach each other, so give each metal its own.',
  modulus: 'Young’s modulus, GPa',
  modulusHelp: 'Steel 205, titanium 103, aluminium 69. Or with its unit: 29000 ksi.',
  yield: 'Yield stress, MPa',
  yieldHelp: 'As the tube is, not the least of its standard. Or 36 ksi.',
  hardening: 'Hardening beyond yield',
  hardenings: { tangent: 'Tangent modulus', power: 'K and n' },
  hardeningHelp: 'It moves the springback more than the yield stress does.',
  tangent: 'Tangent modulus, MPa',
  tangentHelp: 'Mean rise at 5 to 15 % strain: drawn steel about 1000; 0 for none.',
  strength: 'K, MPa',
  strengthHelp: 'Of K·εⁿ, the true stress at a strain of 1.',
  exponent: 'n',
  exponentHelp: 'Between 0 and 1: annealed stainless 0.4, hard aluminium 0.05.',
  unloading: 'Modulus on letting off',
  unloadingHelp: 'Its share of Young’s. Left empty: 0.9.',
  spread: 'Spread, %',
  spreadHelp: 'How far springback may lie off, one standard deviation. Left empty: 22.',
  source: 'Source of the figures',
  sourceHelp: 'Such as the certificate of the mill, a handbook, your own test.',
  notStress: 'Write a stress, such as 250, 250 MPa or 36 ksi.',
  figures,
  asOwn: (name: string) => `${name}, the shop’s own`,
  asUnknown: (name: string) => `${name}, not known: learned from its bends alone`,
  record: { figures: 'Figures of the metal', source: 'Source of the figures' },
  expected: {
    title: 'What the numbers foretell',
    fillIn: 'With tube, radius and material filled in, this says what to expect of them.',
    wait: 'Working it out.',
    atNinety: 'At 90°',
    springback: (middle: string, low: string, high: string, loaded: string) =>
      `about ${middle} springs back (95 %: ${low} to ${high}), so it is to be taken to ${loaded}.`,
    rests: 'By the mechanics of the section, as if no bend of it had been made.',
    section: (radius: string, stretch: string, low: string, high: string, flat: string) =>
      `Estimates: radius ${radius} diameters, outside stretched by ${stretch} %, its wall ${low} to ${high} % ` +
      `thinner, flattened by ${flat} % without a mandrel.`,
    noWarnings: 'Nothing to beware of in these numbers.',
    beware: 'Beware',
    source: (source: string) => `Source: ${source}.`,
  },
} as const
