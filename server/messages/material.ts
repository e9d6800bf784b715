import { type Static, Type } from 'typebox'
import { oneOf, orNull, strict } from './schema.ts'

const STRESS_MPA_MAX = 10_000

/** Longest sentence that says where figures come from. */
const SOURCE_CHARS = 200

const figure = (maximum: number, description: string) =>
  Type.Optional(Type.Number({ minimum: -maximum, maximum, description }))

/**
 * A metal that is not in the table, as the shop knows it; its name stands in `tube.material`. A set-up is
 * stored with all that was left out filled in. The same name with other figures is another material.
 */
export const OwnMaterial = strict({
  knownFrom: oneOf(['figures', 'bends'], {
    description: '`bends`: nothing is known but the tube’s size, its bends alone will tell.',
  }),
  source: Type.Optional(
    Type.String({
      minLength: 1,
      maxLength: SOURCE_CHARS,
      description: 'Where the figures come from, such as the certificate of the mill.',
    }),
  ),
  modulusGpa: figure(1e6, "Young's modulus, 1 to 1000 GPa."),
  yieldMpa: figure(STRESS_MPA_MAX, 'Yield stress, MPa; at most 3 % of the modulus.'),
  tangentModulusMpa: figure(
    1e6,
    'Hardening: tangent modulus beyond yield, MPa, from 0 to below Young’s; or K and n instead.',
  ),
  strengthMpa: figure(STRESS_MPA_MAX, 'Hardening: K of K·εⁿ, MPa, above 0.'),
  exponent: figure(1e6, 'Hardening: n of K·εⁿ, between 0 and 1.'),
  unloadingFactor: figure(
    1e6,
    'Modulus on letting off over Young’s, above 0 and at most 1; 0.9 if left out.',
  ),
  slopeSpread: figure(
    1e6,
    'How far the springback may lie off the figures, one standard deviation, 0.02 to 1; 0.22 if left out, 0.4 if ' +
      'nothing is known.',
  ),
  judged: Type.Optional(
    Type.Array(oneOf(['slopeSpread', 'unloadingFactor']), {
      maxItems: 2,
      uniqueItems: true,
      description: 'Filled in by the daemon: which figures are judgement.',
    }),
  ),
})
export type OwnMaterial = Static<typeof OwnMaterial>

/** A metal that a tube can be made of, of the table or of an earlier set-up. */
export const MaterialRow = strict({
  key: Type.String({ description: 'What a set-up names as `tube.material`.' }),
  name: Type.String(),
  ownMaterial: orNull(OwnMaterial),
  sources: strict({
    modulus: Type.String(),
    yield: Type.String(),
    hardening: Type.String(),
    unloading: Type.String(),
    spread: Type.String(),
  }),
})
export type MaterialRow = Static<typeof MaterialRow>
