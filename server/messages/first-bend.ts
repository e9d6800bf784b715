import { type Static, Type } from 'typebox'
import { orNull, strict } from './schema.ts'
import { Die, Job, Tube } from './setup.ts'

/** A tube on a die, before anything of it is bent. */
export const FirstBendAsk = strict({
  die: Type.Pick(Die, ['clrMm'], { additionalProperties: false }),
  tube: Type.Pick(Tube, ['odMm', 'wallMm', 'material', 'ownMaterial'], {
    additionalProperties: false,
  }),
  wantedDeg: Job.properties.wantedDeg,
})
export type FirstBendAsk = Static<typeof FirstBendAsk>

const fraction = (description: string) => Type.Number({ description })
const degrees = (description: string) => orNull(Type.Number({ description }))

/** What is foretold of it; null where the tube takes no set, and `note` says so. */
export const FirstBend = strict({
  secondMomentMm4: Type.Number(),
  momentNm: Type.Number({ description: 'Moment that holds the tube on the die, N·m.' }),
  slope: fraction('Share of the bend that comes back.'),
  interceptDeg: Type.Number({
    description: 'What the straight legs and the machine give, degrees.',
  }),
  loadedDeg: degrees('Where to take it so that the wanted angle remains, degrees.'),
  springbackDeg: degrees('Springback expected, degrees.'),
  lowDeg: degrees('Lower end of the 95 % interval of the springback.'),
  highDeg: degrees('Upper end of the 95 % interval of the springback.'),
  releasedRadiusMm: orNull(Type.Number({ description: 'Centreline radius that remains, mm.' })),
  note: orNull(Type.String({ description: 'Why there is no angle to take it to.' })),
  estimates: strict({
    radiusRatio: fraction('Centreline radius over outside diameter.'),
    wallRatio: fraction('Outside diameter over wall.'),
    outerStretch: fraction('Stretch of the outside, D/(2R).'),
    thinningLow: fraction('How much thinner its wall becomes, at least.'),
    thinningHigh: fraction('The same, at most.'),
    ovality: fraction('(Largest − smallest diameter)/D without a mandrel.'),
  }),
  warnings: Type.Array(
    strict({
      code: Type.String({ description: 'Stable name.' }),
      sentence: Type.String(),
      source: Type.String({ description: 'What it rests on.' }),
    }),
  ),
})
export type FirstBend = Static<typeof FirstBend>
