import { Option } from 'commander'
import { aimFor, loadedForDeg, NO_SET_SENTENCE } from '../bend/aim.ts'
import { type DomainCode, DomainError } from '../bend/errors.ts'
import { MATERIALS, materialOf } from '../bend/materials.ts'
import {
  bendingMomentNmm,
  releasedRadiusMm,
  secondMomentMm4,
  springbackSlope,
  type TubeOnDie,
} from '../bend/section.ts'
import type { StressStrainLaw } from '../bend/section-law.ts'
import { coefficientsOf, priorFor } from '../bend/springback.ts'
import { predictSpringback } from '../bend/springback-prediction.ts'
import { type AddCommand, BadInput, finiteNumber, lengthMm, printJson } from './command.ts'

interface Options {
  readonly od: number
  readonly wall: number
  readonly clr: number
  readonly angle: number
  readonly material?: string
  readonly yield?: number
  readonly modulus?: number
  readonly tangentModulus?: number
  readonly json?: true
}

/** What is printed; the names are relied on by scripts. Null where the tube takes no set. */
interface Prediction {
  readonly secondMomentMm4: number
  readonly momentNm: number
  readonly slope: number
  readonly interceptDeg: number
  readonly loadedDeg: number | null
  readonly springbackDeg: number | null
  /** 95 % interval of the springback; only a material of the table has a spread. */
  readonly lowDeg: number | null
  readonly highDeg: number | null
  readonly releasedRadiusMm: number | null
  readonly note: string | null
}

/** Which flag is at fault for what the domain refuses. */
const FLAGS: Partial<Record<DomainCode, string>> = {
  TUBE_OD: '--od',
  TUBE_WALL: '--wall',
  DIE_RADIUS: '--clr',
  WANTED_ANGLE: '--angle',
  MATERIAL_UNKNOWN: '--material',
}

const MPA_PER_GPA = 1000

/** No metal lies outside; a value that does was typed in another unit. */
const MODULUS_GPA = { min: 1, max: 1000 }
const YIELD_MPA_MAX = 5000

function explicitLaw(options: Options): StressStrainLaw {
  const { yield: yieldMpa, modulus: modulusGpa, tangentModulus: tangentGpa = 0 } = options
  if (yieldMpa === undefined)
    throw new BadInput('--yield is missing: give --material KEY, or --yield MPA and --modulus GPA.')
  if (modulusGpa === undefined)
    throw new BadInput('--modulus is missing: --yield MPA needs --modulus GPA beside it.')
  if (!(modulusGpa >= MODULUS_GPA.min && modulusGpa <= MODULUS_GPA.max))
    throw new BadInput(`--modulus takes GPa from 1 to 1000 (steel has 205), got ${modulusGpa}.`)
  if (!(yieldMpa > 0 && yieldMpa <= YIELD_MPA_MAX))
    throw new BadInput(
      `--yield takes MPa above 0 and up to 5000 (mild steel has 300), got ${yieldMpa}.`,
    )
  if (!(tangentGpa >= 0 && tangentGpa < modulusGpa))
    throw new BadInput(`--tangent-modulus takes GPa from 0 to below --modulus, got ${tangentGpa}.`)
  return {
    kind: 'bilinear',
    modulusMpa: modulusGpa * MPA_PER_GPA,
    yieldMpa,
    tangentModulusMpa: tangentGpa * MPA_PER_GPA,
  }
}

const momentNm = (tube: TubeOnDie, law: StressStrainLaw) => bendingMomentNmm(tube, law) / 1000

/** Pure section mechanics of a bilinear material: unloads along E, no intercept. */
function fromSection(tube: TubeOnDie, angle: number, law: StressStrainLaw): Prediction {
  const slope = springbackSlope(tube, law, 1)
  const loadedDeg = loadedForDeg({ interceptDeg: 0, slope }, angle)
  return {
    secondMomentMm4: secondMomentMm4(tube),
    momentNm: momentNm(tube, law),
    slope,
    interceptDeg: 0,
    loadedDeg,
    springbackDeg: loadedDeg === null ? null : loadedDeg - angle,
    lowDeg: null,
    highDeg: null,
    releasedRadiusMm: loadedDeg === null ? null : releasedRadiusMm(tube.clrMm, slope),
    note: loadedDeg === null ? NO_SET_SENTENCE : null,
  }
}

/**
 * The first bend of a set-up: the mechanics with the material's spread, straight legs and machine.
 */
function fromMaterial(tube: TubeOnDie, angle: number, key: string): Prediction {
  const material = materialOf(key)
  const prior = priorFor(tube, material)
  const { slope, interceptDeg } = coefficientsOf(prior)
  const aim = aimFor(prior, angle)
  const loadedDeg = aim.commandedDeg
  const expected = loadedDeg === null ? null : predictSpringback(prior, loadedDeg)
  return {
    secondMomentMm4: secondMomentMm4(tube),
    momentNm: momentNm(tube, material.law),
    slope,
    interceptDeg,
    loadedDeg,
    springbackDeg: expected?.springbackDeg ?? null,
    lowDeg: expected?.lowDeg ?? null,
    highDeg: expected?.highDeg ?? null,
    releasedRadiusMm: expected ? releasedRadiusMm(tube.clrMm, slope) : null,
    note: loadedDeg === null ? aim.why : null,
  }
}

function predictionFor(options: Options): Prediction {
  const tube = { odMm: options.od, wallMm: options.wall, clrMm: options.clr }
  const { material } = options
  if (material === undefined) return fromSection(tube, options.angle, explicitLaw(options))
  for (const [flag, value] of [
    ['--yield', options.yield],
    ['--modulus', options.modulus],
    ['--tangent-modulus', options.tangentModulus],
  ] as const)
    if (value !== undefined)
      throw new BadInput(`${flag} does not go with --material, which brings its own.`)
  return fromMaterial(tube, options.angle, material)
}

/** Refusals of the domain, under the name of the flag that the value came from. */
function namingTheFlag<Result>(work: () => Result): Result {
  try {
    return work()
  } catch (error) {
    if (!(error instanceof DomainError)) throw error
    const flag = FLAGS[error.code]
    throw flag === undefined ? error : new BadInput(`${flag}: ${error.message}`)
  }
}

function printSentences(options: Options, result: Prediction): void {
  const { loadedDeg, springbackDeg, lowDeg, highDeg } = result
  const [od, wall, clr] = [options.od, options.wall, options.clr].map((mm) => +mm.toFixed(3))
  const tube = `${od} × ${wall} mm on a centreline radius of ${clr} mm`
  const spread =
    lowDeg === null || highDeg === null
      ? ''
      : ` (95 %: ${lowDeg.toFixed(2)}° to ${highDeg.toFixed(2)}°)`
  const comesBack =
    springbackDeg === null ? 'all or most of it' : `${springbackDeg.toFixed(2)}°${spread}`
  const intercept = result.interceptDeg === 0 ? '' : ` and ${result.interceptDeg.toFixed(2)}°`
  const lines = [
    `Tube           ${tube}, ${options.angle}° wanted`,
    `Load to        ${loadedDeg === null ? 'no angle' : `${loadedDeg.toFixed(2)}°`}`,
    `Springback     ${comesBack}`,
    `Comes back     ${(100 * result.slope).toFixed(2)} % of the loaded angle${intercept}`,
    `Bending moment ${result.momentNm.toFixed(1)} N·m`,
    `Second moment  ${result.secondMomentMm4.toFixed(1)} mm⁴`,
  ]
  if (result.releasedRadiusMm !== null)
    lines.push(`Radius after   ${result.releasedRadiusMm.toFixed(1)} mm`)
  if (result.note !== null) lines.push(result.note)
  process.stdout.write(`${lines.join('\n')}\n`)
}

/** Springback of a tube that was never bent before, from the mechanics of its section. */
export const predict: AddCommand = (program) => {
  program
    .command('predict')
    .description('Say how far to load a tube so that the wanted angle remains.')
    .requiredOption('--od <length>', 'outside diameter: mm, or inches as 1.5in', lengthMm('--od'))
    .requiredOption('--wall <length>', 'wall thickness', lengthMm('--wall'))
    .requiredOption('--clr <length>', 'centreline radius of the die', lengthMm('--clr'))
    .requiredOption('--angle <deg>', 'angle wanted after letting off', finiteNumber('--angle'))
    .addOption(
      new Option('--material <key>', `one of ${MATERIALS.map(({ key }) => key).join(', ')}`)
        // While the line is read: a wrong key is named before what is missing.
        .argParser((key) => namingTheFlag(() => materialOf(key).key)),
    )
    .option('--yield <MPa>', 'yield stress, with --modulus', finiteNumber('--yield'))
    .option('--modulus <GPa>', "Young's modulus", finiteNumber('--modulus'))
    .option('--tangent-modulus <GPa>', 'beyond yield; 0', finiteNumber('--tangent-modulus'))
    .option('--json', 'one JSON document on standard output')
    .action((options: Options) => {
      const result = namingTheFlag(() => predictionFor(options))
      if (options.json) printJson(result)
      else printSentences(options, result)
    })
}
