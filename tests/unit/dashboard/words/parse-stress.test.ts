import { describe, expect, test } from 'vitest'
import { parseStress } from '../../../../dashboard/words/parse-stress.ts'

describe('a stress as people write it', () => {
  test.each([
    ['250', 'MPa', 250],
    ['250 MPa', 'MPa', 250],
    ['0,25 gpa', 'MPa', 250],
    ['105', 'GPa', 105],
    ['105.5GPa', 'GPa', 105.5],
    ['105000 MPa', 'GPa', 105],
    ['0', 'MPa', 0],
    [' .5 ', 'GPa', 0.5],
    // NIST SP 811, appendix B.8: 1 ksi is 6.894757 MPa, 1 psi is 6.894757 kPa.
    ['1 ksi', 'MPa', 6.894757],
    ['1000 psi', 'MPa', 6.894757],
    ['1 Msi', 'GPa', 6.894757],
  ] as const)('%s in a field of %s is %d', (text, unit, value) => {
    expect(parseStress(text, unit)).toBe(value)
  })

  test.each(['', ' ', '-1', 'stiff', '1 000', '250 N', '1e5', '36 ksi ksi', '1/2', '٣'])(
    '"%s" is none',
    (text) => {
      expect(parseStress(text, 'MPa')).toBeNull()
    },
  )
})
