import { spawnSync } from 'node:child_process'
import { describe, expect, it } from 'vitest'
import { MATERIALS } from '../../../../server/bend/materials.ts'
import { predictJson, printedByPredict } from '../../../outside/predict-in-process.ts'
import { programArgs } from '../../../support/programs.ts'

const TUBE = {
  '--od': '38.1',
  '--wall': '1.65',
  '--clr': '114.3',
  '--angle': '90',
}
const STEEL = { '--yield': '290', '--modulus': '193' }
const STAINLESS = { '--material': '316l-annealed' }

const args = (...flags: Readonly<Record<string, string>>[]) =>
  Object.entries(Object.assign({}, ...flags) as Record<string, string>).flat()

const without = (flag: string) =>
  Object.fromEntries(Object.entries({ ...TUBE, ...STEEL }).filter(([name]) => name !== flag))

describe('predict --json', () => {
  it('explicit metal: pure section mechanics, no interval', () => {
    const result = predictJson(args(TUBE, STEEL))
    expect(Object.keys(result)).toEqual([
      'secondMomentMm4',
      'momentNm',
      'slope',
      'estimates',
      'warnings',
      'interceptDeg',
      'loadedDeg',
      'springbackDeg',
      'lowDeg',
      'highDeg',
      'releasedRadiusMm',
      'note',
    ])
    expect(result.interceptDeg).toBe(0)
    expect(result.springbackDeg).toBeCloseTo(result.loadedDeg! - 90, 12)
    expect(result.loadedDeg).toBeCloseTo(90 / (1 - result.slope), 9)
    expect(result.releasedRadiusMm).toBeCloseTo(114.3 / (1 - result.slope), 9)
    expect([result.lowDeg, result.highDeg, result.note]).toEqual([null, null, null])
  })

  it('material: an intercept, and an interval about the springback', () => {
    const result = predictJson(args(TUBE, STAINLESS))
    // 100 mm of leg: 57.2958·b·L/(2R).
    expect(result.interceptDeg).toBeCloseTo((57.29578 * result.slope * 100) / (2 * 114.3), 6)
    expect(result.loadedDeg! - result.springbackDeg!).toBeCloseTo(90, 9)
    expect(result.lowDeg).toBeLessThan(result.springbackDeg!)
    expect(result.highDeg).toBeGreaterThan(result.springbackDeg!)
  })

  it('material: unloads along less than Young’s modulus', () => {
    const { slope, momentNm, secondMomentMm4 } = predictJson(args(TUBE, STAINLESS))
    const alongYoung = (momentNm * 1000 * 114.3) / (193e3 * secondMomentMm4)
    expect(slope / alongYoung).toBeCloseTo(1 / 0.87, 9)
  })

  it.each(MATERIALS.map(({ key }) => key))('%s is known', (material) => {
    expect(predictJson(args(TUBE, { '--material': material })).loadedDeg).toBeGreaterThan(90)
  })

  it.each([
    ['explicit', { '--yield': '350', '--modulus': '205' }],
    ['of the table', { '--material': '1026-dom' }],
  ])('a tube that takes no set, %s: no angle and a plain sentence', (_name, metal) => {
    const flags = { ...TUBE, '--clr': '12000', '--angle': '10' }
    const result = predictJson(args(flags, metal))
    expect(result.slope).toBe(1)
    expect(result.loadedDeg).toBeNull()
    expect(result.springbackDeg).toBeNull()
    expect(result.releasedRadiusMm).toBeNull()
    expect(result.note).toMatch(/^This tube will not take a set on this radius: /)
  })

  it('an angle that the springback carries past a full turn: that is said, and not that it takes no set', () => {
    const { loadedDeg, note } = predictJson(args({ ...TUBE, '--angle': '358' }, STEEL))
    expect(loadedDeg).toBeNull()
    expect(note).toMatch(/past 360°/)
  })

  it('what the bend does to the section, and nothing to beware of on a usual die', () => {
    const { estimates, warnings } = predictJson(args(TUBE, STEEL))
    expect(estimates.outerStretch).toBeCloseTo(1 / 6, 9)
    expect(estimates.ovality).toBeCloseTo(0.0385, 4)
    expect(warnings).toEqual([])
  })

  it('warnings with code, sentence and source', () => {
    const tight = { ...TUBE, '--od': '50.8', '--wall': '0.889', '--clr': '101.6' }
    const { warnings } = predictJson(args(tight, STEEL))
    expect(warnings.map(({ code }) => code)).toEqual(['collapses'])
    expect(warnings[0]?.sentence).toMatch(/^The wall is too thin for this radius/)
    expect(warnings[0]?.source).toContain('from memory')
  })

  it('no set: that warning alone', () => {
    const { warnings } = predictJson(args(TUBE, STEEL, { '--clr': '12000' }))
    expect(warnings.map(({ code }) => code)).toEqual(['no-set'])
  })

  it('a power law of one’s own: the moment of the table’s grade with the same constants', () => {
    const own = { '--yield': '240', '--modulus': '193', '--strength': '1300', '--exponent': '0.4' }
    const { momentNm, lowDeg, interceptDeg } = predictJson(args(TUBE, own))
    expect(momentNm).toBeCloseTo(predictJson(args(TUBE, STAINLESS)).momentNm, 9)
    expect([lowDeg, interceptDeg]).toEqual([null, 0])
  })

  it('with a spread one’s own metal foretells a first bend, with an interval', () => {
    const own = { '--yield': '290', '--modulus': '193', '--tangent-modulus': '1.8' }
    const narrow = predictJson(args(TUBE, own, { '--spread': '5' }))
    const wide = predictJson(args(TUBE, own, { '--spread': '40' }))
    expect(narrow.interceptDeg).toBeGreaterThan(0)
    expect(wide.loadedDeg).toBeCloseTo(narrow.loadedDeg!, 9)
    expect(wide.highDeg! - wide.lowDeg!).toBeGreaterThan(narrow.highDeg! - narrow.lowDeg!)
    // Its modulus on letting off is nine tenths, where bare mechanics unloads along E.
    expect(narrow.slope).toBeCloseTo(predictJson(args(TUBE, own)).slope / 0.9, 9)
  })

  it('180° can be asked for', () => {
    expect(predictJson(args(TUBE, STEEL, { '--angle': '180' })).loadedDeg).toBeGreaterThan(181)
  })
})

describe('predict for people', () => {
  it('says what to load to, with the interval', () => {
    const printed = printedByPredict(args(TUBE, STAINLESS))
    expect(printed).toMatch(
      /^Tube {11}38\.1 × 1\.65 mm on a centreline radius of 114\.3 mm, 90° wanted\n/,
    )
    expect(printed).toMatch(/\nLoad to {8}93\.\d\d°\n/)
    expect(printed).toMatch(/\nSpringback {5}3\.\d\d° \(95 %: \d\.\d\d° to \d\.\d\d°\)\n/)
    expect(printed.endsWith('\n')).toBe(true)
  })

  it('says inches in millimetres', () => {
    const printed = printedByPredict(args(TUBE, STEEL, { '--od': '1.5in', '--clr': '4.5in' }))
    expect(printed).toContain('38.1 × 1.65 mm on a centreline radius of 114.3 mm')
  })

  it('says the radius after letting off, and the estimates as such', () => {
    const printed = printedByPredict(args(TUBE, STAINLESS))
    expect(printed).toMatch(/\nRadius after {3}11[67]\.\d mm\n/)
    expect(printed).toContain(
      '\nEstimates      stretch 17 % outside, wall 7 to 14 % thinner outside, ' +
        'flattened 4 % without a mandrel\n',
    )
    expect(printed).not.toContain('Beware')
  })

  it('says each thing to beware of on a line of its own', () => {
    const tight = { ...TUBE, '--od': '22', '--wall': '1', '--clr': '33' }
    const lines = printedByPredict(args(tight, STAINLESS)).split('\n')
    const beware = lines.filter((line) => line.startsWith('Beware         '))
    expect(beware).toHaveLength(3)
    for (const line of beware) expect(line).toMatch(/\(estimate\)\.$/)
  })

  it('says when no set remains', () => {
    const printed = printedByPredict(args(TUBE, STEEL, { '--clr': '20000' }))
    expect(printed).toContain('Load to        no angle')
    expect(printed.match(/This tube will not take a set on this radius/g)).toHaveLength(1)
    expect(printed).not.toContain('Estimates')
  })
})

describe('predict refuses, naming the flag', () => {
  const refusal = (given: readonly string[]) => {
    try {
      return `printed ${printedByPredict(given)}`
    } catch (error) {
      return (error as Error).message
    }
  }

  it.each(['--od', '--wall', '--clr', '--angle'])('%s missing', (flag) => {
    expect(refusal(args(without(flag)))).toContain(`'${flag} <`)
  })

  it.each([
    ['--od', '0'],
    ['--od', '-38.1'],
    ['--od', 'NaN'],
    ['--od', '38,1'],
    ['--od', '1.5ft'],
    ['--od', ''],
    ['--od', '1e999'],
    ['--wall', '0'],
    ['--wall', '-1'],
    ['--wall', '19.06'],
    ['--wall', '1in'],
    ['--clr', '19'],
    ['--clr', '-114.3'],
    ['--clr', 'Infinity'],
    ['--angle', '0'],
    ['--angle', '-90'],
    ['--angle', '361'],
    ['--angle', 'NaN'],
    ['--angle', 'ninety'],
    ['--angle', '90deg'],
    ['--yield', '0'],
    ['--yield', '-290'],
    ['--yield', '290000000'],
    ['--yield', 'NaN'],
    ['--modulus', '0'],
    ['--modulus', '-193'],
    ['--modulus', '193000'],
    ['--modulus', 'x'],
    ['--tangent-modulus', '-1'],
    ['--tangent-modulus', '193'],
    ['--tangent-modulus', 'NaN'],
    ['--spread', '1'],
    ['--spread', '0.2'],
    ['--spread', '-20'],
    ['--spread', '101'],
    ['--spread', 'wide'],
  ])('%s "%s"', (flag, value) => {
    const said = refusal(args(TUBE, STEEL, { [flag]: value }))
    expect(said).toMatch(new RegExp(`^${flag}[ :]`))
    expect(said).toMatch(/\.$/)
    expect(said).not.toContain('\n')
  })

  it('an unknown material, listing those known', () => {
    const said = refusal(args(TUBE, { '--material': '316L' }))
    expect(said).toMatch(/^--material: There is no material "316L"; known are 1020-dom, /)
  })

  it('an unknown material before what is missing: it was typed, and is wrong', () => {
    const said = refusal(['--material', 'brass', '--wall', '1.65'])
    expect(said).toMatch(/^--material: There is no material "brass"; known are 1020-dom, /)
  })

  it('a wall too thick for a diameter in inches, in figures without a tail', () => {
    const said = refusal(args(TUBE, STEEL, { '--od': '1.5in', '--wall': '1in' }))
    expect(said).toContain('at most 19.05 mm, half the diameter, got 25.4.')
  })

  it('neither a material nor a yield', () => {
    expect(refusal(args(TUBE))).toMatch(/^--yield is missing: give --material KEY, or/)
  })

  it('a yield without a modulus', () => {
    expect(refusal(args(TUBE, { '--yield': '290' }))).toMatch(/^--modulus is missing/)
  })

  it('a modulus without a yield', () => {
    expect(refusal(args(TUBE, { '--modulus': '193' }))).toMatch(/^--yield is missing/)
  })

  const POWER = { '--strength': '1300', '--exponent': '0.4' }

  it.each([
    ['--strength', '0'],
    ['--strength', '-1300'],
    ['--strength', '1300000'],
    ['--strength', 'NaN'],
    ['--exponent', '0'],
    ['--exponent', '1'],
    ['--exponent', '-0.4'],
    ['--exponent', '40%'],
  ])('a power law with %s "%s"', (flag, value) => {
    const said = refusal(args(TUBE, STEEL, POWER, { [flag]: value }))
    expect(said).toMatch(new RegExp(`^${flag} takes `))
    expect(said).toMatch(/\.$/)
  })

  it('half a power law', () => {
    expect(refusal(args(TUBE, STEEL, { '--strength': '1300' }))).toMatch(/^--exponent is missing/)
    expect(refusal(args(TUBE, STEEL, { '--exponent': '0.4' }))).toMatch(/^--strength is missing/)
  })

  it('two hardenings', () => {
    expect(refusal(args(TUBE, STEEL, POWER, { '--tangent-modulus': '1' }))).toBe(
      '--tangent-modulus does not go with --strength: give one hardening.',
    )
  })

  it('a metal of one’s own that no metal is', () => {
    const soft = { '--yield': '290', '--modulus': '1', '--spread': '20' }
    expect(refusal(args(TUBE, soft))).toBe(
      '--yield: No metal yields at 290 MPa on a modulus of 1000 MPa: check the units.',
    )
  })

  it.each(['--yield', '--modulus', '--tangent-modulus', '--strength', '--exponent', '--spread'])(
    '%s beside --material',
    (flag) => {
      const said = refusal(args(TUBE, STAINLESS, { [flag]: '200' }))
      expect(said).toBe(`${flag} does not go with --material, which brings its own.`)
    },
  )

  it('a flag it does not know', () => {
    expect(refusal([...args(TUBE, STEEL), '--radius', '3'])).toContain('--radius')
  })
})

/** A process started under a loaded machine takes its time; the test is of what it says. */
const PATIENCE_MS = 60_000

describe('overbend predict as a program', { timeout: PATIENCE_MS }, () => {
  const main = programArgs('server/main.ts')
  const run = (given: readonly string[]) =>
    spawnSync(process.execPath, [...main, 'predict', ...given], { encoding: 'utf8' })

  it('exits 0 with one JSON document and nothing else', () => {
    const { status, stdout, stderr } = run([...args(TUBE, STEEL), '--json'])
    expect(status).toBe(0)
    expect(stderr).toBe('')
    expect(stdout.trimEnd().split('\n')).toHaveLength(1)
    expect(JSON.parse(stdout).loadedDeg).toBeCloseTo(91.091461, 5)
  })

  it('exits 2 with one sentence on standard error, and an empty standard output', () => {
    const { status, stdout, stderr } = run([...args(TUBE, STEEL, { '--wall': '20' }), '--json'])
    expect(status).toBe(2)
    expect(stdout).toBe('')
    expect(stderr).toMatch(/^overbend: --wall: .*\.\n$/)
  })
})
