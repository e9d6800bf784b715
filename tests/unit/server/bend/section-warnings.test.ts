import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { NO_SET_SENTENCE } from '../../../../server/bend/aim.ts'
import { MATERIALS } from '../../../../server/bend/materials.ts'
import { springbackSlope } from '../../../../server/bend/section.ts'
import { sectionWarnings } from '../../../../server/bend/section-warnings.ts'

const SEED = 4104
const rail = { odMm: 38.1, wallMm: 1.65, clrMm: 114.3 }
const SLOPE = 0.027

const codes = (tube: typeof rail, slope = SLOPE) =>
  sectionWarnings(tube, slope).map(({ code }) => code)
const sentence = (tube: typeof rail, slope: number, code: string) =>
  sectionWarnings(tube, slope).find((warning) => warning.code === code)?.sentence

describe('sectionWarnings', () => {
  it.each(MATERIALS.map((material) => [material.key, material] as const))(
    '%s on a usual die: none, but for the legs of the springiest',
    (key, { law, unloadingFactor }) => {
      const slope = springbackSlope(rail, law, unloadingFactor)
      expect(codes(rail, slope)).toEqual(key === 'ti-grade-9' ? ['legs'] : [])
    },
  )

  it('a thick tube on a tight die only thins, and its legs give back', () => {
    expect(codes({ odMm: 25.4, wallMm: 3.175, clrMm: 38.1 })).toEqual(['thin-outside', 'legs'])
  })

  it.each([
    [0.02, 49.9, ['flattens', 'thin-outside']],
    [0.02, 50, ['flattens']],
    [0.02, 57.8, ['flattens']],
    [0.02, 58, []],
  ])('25 × 1.08 mm, slope %d, on %d mm: %o', (slope, clrMm, expected) => {
    // Two diameters are 50 mm; 5 % is reached where D²/(t·R) is 10, on 57.87 mm.
    const tube = { odMm: 25, wallMm: 1.08, clrMm }
    expect(codes(tube, slope).filter((code) => code !== 'legs')).toEqual(expected)
  })

  it('beyond eight per cent it says that the wall is too thin, and not that it flattens', () => {
    const thin = { odMm: 50.8, wallMm: 0.889, clrMm: 101.6 }
    expect(codes(thin, 0.0218)).toEqual(['collapses'])
    expect(sentence(thin, 0.0218, 'collapses')).toBe(
      'The wall is too thin for this radius without a mandrel: ' +
        'the tube would flatten by 14 % or kink (estimate).',
    )
  })

  it('stretch and thinning in figures', () => {
    expect(sentence({ odMm: 22, wallMm: 2, clrMm: 33 }, 0.018, 'thin-outside')).toBe(
      'The radius is under two diameters: the outside is stretched by 33 % ' +
        'and its wall thins by about 13 to 25 % (estimate).',
    )
  })

  it('legs that give back so much that their length decides', () => {
    expect(sentence({ odMm: 22, wallMm: 2, clrMm: 33 }, 0.018, 'legs')).toBe(
      'The straight legs beside the bend may give back 1.6° by themselves: ' +
        'how long the block is decides, and the first bend shows it (estimate).',
    )
  })

  it('a slight set: what a stronger lot would do', () => {
    expect(codes(rail, 0.149)).not.toContain('slight-set')
    expect(sentence({ ...rail, clrMm: 1000 }, 0.2, 'slight-set')).toBe(
      'About 20 % of the bend comes back, so a tube that yields 10 % higher ' +
        'stands 1.4° further open at 90° (estimate).',
    )
  })

  it.each([0.5, 0.9, 1, Number.NaN])('slope %d: no set, and nothing else', (slope) => {
    const tube = { odMm: 50.8, wallMm: 0.5, clrMm: 50.8 }
    const [warning, ...others] = sectionWarnings(tube, slope)
    expect(warning).toMatchObject({ code: 'no-set', sentence: NO_SET_SENTENCE })
    expect(others).toEqual([])
  })

  it('each is one sentence with a source, an estimate says so, a code comes once (seed 4104)', () => {
    const tubes = fc.record({
      odMm: fc.double({ min: 10, max: 80, noNaN: true }),
      wallMm: fc.double({ min: 0.3, max: 5, noNaN: true }),
      clrMm: fc.double({ min: 40, max: 2000, noNaN: true }),
    })
    fc.assert(
      fc.property(tubes, fc.double({ min: 0.001, max: 1, noNaN: true }), (tube, slope) => {
        const warnings = sectionWarnings(tube, slope)
        expect(new Set(warnings.map(({ code }) => code)).size).toBe(warnings.length)
        for (const { code, sentence: said, source } of warnings) {
          expect(said).toMatch(code === 'no-set' ? /^[^.]+\.$/ : /^[A-Z].*\(estimate\)\.$/)
          expect(said).not.toMatch(/NaN|Infinity|undefined/)
          expect(source.length).toBeGreaterThan(10)
        }
      }),
      { seed: SEED },
    )
  })

  it('refuses what no tube can be', () => {
    const code = 'TUBE_WALL'
    expect(() => sectionWarnings({ ...rail, wallMm: 20 }, SLOPE)).toThrow(
      expect.objectContaining({ code }),
    )
  })
})
