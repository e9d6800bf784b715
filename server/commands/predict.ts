import { Option } from 'commander'
import { aimFor, loadedForDeg, NO_SET_SENTENCE } from '../bend/aim.ts'
import { type DomainCode, DomainError } from '../bend/errors.ts'
import { MATERIALS, type Material, materialOf } from '../bend/materials.ts'
import {
  bendingMomentNmm,
  releasedRadiusMm,
  secondMomentMm4,
  springbackSlope,
  type TubeOnDie,
} from '../bend/section.ts'
import { sectionEstimates } from '../bend/section-estimates.ts'
import type { StressStrainLaw } from '../bend/section-law.ts'
import { sectionWarnings } from '../bend/section-warnings.ts'
import { coefficientsOf, priorFor } from '../bend/springback.ts'
import { predictSpringback } from '../bend/springback-prediction.ts'
import { type AddCommand, BadInput, finiteNumber, lengthMm, printJson } from './command.ts'
import { type MetalOptions, metalFrom } from './predict-metal.ts'
import { type Prediction, sentencesOf } from './predict-sentences.ts'

interface Options extends MetalOptions {
  readonly od: number
  readonly wall: number
  readonly clr: number
  readonly angle: number
  readonly json?: true
}

/** Which flag is at fault for what the domain refuses. */
const FLAGS: Partial<Record<DomainCode, string>> = {
  TUBE_OD: '--od',
  TUBE_WALL: '--wall',
  DIE_RADIUS: '--clr',
  WANTED_ANGLE: '--angle',
  MATERIAL_UNKNOWN: '--material',
  YIELD_STRAIN: '--yield',
}

/** What holds whatever is known of the metal besides its law. */
function ofSection(tube: TubeOnDie, law: StressStrainLaw, slope: number) {
  return {
    secondMomentMm4: secondMomentMm4(tube),
    momentNm: bendingMomentNmm(tube, law) / 1000,
    slope,
    estimates: sectionEstimates(tube),
    warnings: sectionWarnings(tube, slope),
  }
}

/** Pure section mechanics: unloads along E, no intercept, no interval. */
function fromSection(tube: TubeOnDie, angle: number, law: StressStrainLaw): Prediction {
  const slope = springbackSlope(tube, law, 1)
  const loadedDeg = loadedForDeg({ interceptDeg: 0, slope }, angle)
  return {
    ...ofSection(tube, law, slope),
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
function fromMaterial(tube: TubeOnDie, angle: number, material: Material): Prediction {
  const prior = priorFor(tube, material)
  const { slope, interceptDeg } = coefficientsOf(prior)
  const aim = aimFor(prior, angle)
  const loadedDeg = aim.commandedDeg
  const expected = loadedDeg === null ? null : predictSpringback(prior, loadedDeg)
  return {
    ...ofSection(tube, material.law, slope),
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
  const metal = metalFrom(options)
  return metal.kind === 'law'
    ? fromSection(tube, options.angle, metal.law)
    : fromMaterial(tube, options.angle, metal.material)
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
    .option('--strength <MPa>', 'or K of K·εⁿ, with --exponent', finiteNumber('--strength'))
    .option('--exponent <n>', 'n of K·εⁿ', finiteNumber('--exponent'))
    .option(
      '--spread <percent>',
      'how far this metal may lie off: foretells a first bend, with an interval',
      finiteNumber('--spread'),
    )
    .option('--json', 'one JSON document on standard output')
    .action((options: Options) => {
      const result = namingTheFlag(() => predictionFor(options))
      if (options.json) printJson(result)
      else process.stdout.write(`${sentencesOf(options, result).join('\n')}\n`)
    })
}
