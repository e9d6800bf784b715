import { expect, test } from 'vitest'
import { materialWords } from '../../../../dashboard/words/en-material.ts'
import { wholeFigures } from '../../../../server/bend/tube-metal.ts'

const law = { modulusGpa: 105, yieldMpa: 215.5 }
const known = { knownFrom: 'figures', source: 'a test', ...law } as const

test.each([
  [
    wholeFigures({ ...known, tangentModulusMpa: 0 }),
    'E 105 GPa, yield 215.5 MPa, tangent modulus 0 MPa, 0.9 E on letting off (judgement), spread ±22 % (judgement)',
  ],
  [
    { ...known, strengthMpa: 640, exponent: 0.27, unloadingFactor: 1, slopeSpread: 0.125 },
    'E 105 GPa, yield 215.5 MPa, K 640 MPa, n 0.27, 1 E on letting off, spread ±12.5 %',
  ],
  [
    wholeFigures({ knownFrom: 'bends' }),
    'E 150 GPa, yield 360 MPa, tangent modulus 1200 MPa, 0.9 E on letting off, spread ±40 %',
  ],
])('the figures of a metal on one line', (own, line) => {
  expect(materialWords.figures(own)).toBe(line)
})
