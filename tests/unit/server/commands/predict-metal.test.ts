import { describe, expect, it } from 'vitest'
import { metalFrom } from '../../../../server/commands/predict-metal.ts'

describe('metalFrom', () => {
  it('a key of the table', () => {
    expect(metalFrom({ material: '6061-t6' })).toMatchObject({
      kind: 'material',
      material: { key: '6061-t6' },
    })
  })

  it('GPa and MPa to MPa; no hardening is perfectly plastic', () => {
    expect(metalFrom({ yield: 300, modulus: 205 })).toEqual({
      kind: 'law',
      law: { kind: 'bilinear', modulusMpa: 205e3, yieldMpa: 300, tangentModulusMpa: 0 },
    })
  })

  it('K and n make a power law', () => {
    const law = {
      kind: 'power',
      modulusMpa: 193e3,
      yieldMpa: 240,
      strengthMpa: 1400,
      exponent: 0.44,
    }
    expect(metalFrom({ yield: 240, modulus: 193, strength: 1400, exponent: 0.44 })).toEqual({
      kind: 'law',
      law,
    })
  })

  it('a spread in percent makes a material of one’s own', () => {
    expect(metalFrom({ yield: 300, modulus: 205, tangentModulus: 1, spread: 25 })).toMatchObject({
      kind: 'material',
      material: { key: expect.stringMatching(/^own-on-the-command-line /), slopeSpread: 0.25 },
    })
  })

  it.each([
    [{}, /^--yield is missing/],
    [{ modulus: 205 }, /^--yield is missing/],
    [{ yield: 300 }, /^--modulus is missing/],
    [{ spread: 20 }, /^--yield is missing/],
    [{ yield: Number.NaN, modulus: 205 }, /^--yield takes/],
    [{ yield: 300, modulus: Number.NaN }, /^--modulus takes/],
    [{ yield: 300, modulus: 205, tangentModulus: Number.NaN }, /^--tangent-modulus takes/],
    [{ yield: 300, modulus: 205, tangentModulus: 205 }, /^--tangent-modulus takes/],
    [{ yield: 300, modulus: 205, strength: Number.NaN, exponent: 0.2 }, /^--strength takes/],
    [{ yield: 300, modulus: 205, strength: 800, exponent: Number.NaN }, /^--exponent takes/],
    [{ yield: 300, modulus: 205, spread: Number.NaN }, /^--spread takes/],
    [{ material: '6061-t6', spread: 20 }, /^--spread does not go with --material/],
    [{ material: 'unobtainium' }, /^There is no material "unobtainium"/],
  ])('%o is refused', (options, sentence) => {
    expect(() => metalFrom(options)).toThrow(sentence)
    expect(() => metalFrom(options)).toThrow(/^[^\n]*\.?$/)
  })
})
