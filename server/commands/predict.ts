import { Option } from 'commander'
import { loadedForDeg, whyNoAim } from '../bend/aim.ts'
import { type DomainCode, DomainError } from '../bend/errors.ts'
import { type FirstBend, foretellFirstBend, sectionFacts } from '../bend/first-bend.ts'
import { MATERIALS, materialOf } from '../bend/materials.ts'
import { releasedRadiusMm, springbackSlope, type TubeOnDie } from '../bend/section.ts'
import type { StressStrainLaw } from '../bend/section-law.ts'
import { type AddCommand, BadInput, finiteNumber, lengthMm, printJson } from './command.ts'
import { type MetalOptions, metalFrom } from './predict-metal.ts'
import { sentencesOf } from './predict-sentences.ts'

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

/** Pure section mechanics: unloads along E, no intercept, no interval. */
function fromSection(tube: TubeOnDie, angle: number, law: StressStrainLaw): FirstBend {
  const slope = springbackSlope(tube, law, 1)
  const loadedDeg = loadedForDeg({ interceptDeg: 0, slope }, angle)
  return {
    ...sectionFacts(tube, law, slope),
    interceptDeg: 0,
    loadedDeg,
    springbackDeg: loadedDeg === null ? null : loadedDeg - angle,
    lowDeg: null,
    highDeg: null,
    releasedRadiusMm: loadedDeg === null ? null : releasedRadiusMm(tube.clrMm, slope),
    note: loadedDeg === null ? whyNoAim({ slope }) : null,
  }
}

function predictionFor(options: Options): FirstBend {
  const tube = { odMm: options.od, wallMm: options.wall, clrMm: options.clr }
  const metal = metalFrom(options)
  return metal.kind === 'law'
    ? fromSection(tube, options.angle, metal.law)
    : foretellFirstBend(tube, metal.material, options.angle)
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
