import { type DomainCode, DomainError } from '../bend/errors.ts'
import { Refused } from './station-door.ts'

const OWN = 'tube.ownMaterial'

/** Which field of a body is at fault for what the domain refuses. */
const FIELDS: Partial<Record<DomainCode, string>> = {
  TUBE_OD: 'tube.odMm',
  TUBE_WALL: 'tube.wallMm',
  DIE_RADIUS: 'die.clrMm',
  MATERIAL_UNKNOWN: 'tube.material',
  MATERIAL_NAME: 'tube.material',
  MATERIAL_TAKEN: 'tube.material',
  MODULUS: `${OWN}.modulusGpa`,
  MODULUS_GPA: `${OWN}.modulusGpa`,
  YIELD: `${OWN}.yieldMpa`,
  YIELD_STRAIN: `${OWN}.yieldMpa`,
  TANGENT_MODULUS: `${OWN}.tangentModulusMpa`,
  HARDENING_TWICE: `${OWN}.tangentModulusMpa`,
  STRENGTH: `${OWN}.strengthMpa`,
  EXPONENT: `${OWN}.exponent`,
  UNLOADING_FACTOR: `${OWN}.unloadingFactor`,
  SLOPE_SPREAD: `${OWN}.slopeSpread`,
  WANTED_ANGLE: 'wantedDeg',
  LOSS_RATIO: 'costs.scrap',
  TOLERANCE_CLASS: 'toleranceDeg',
}

function fieldOf({ code, facts }: DomainError): string | undefined {
  return code === 'FIGURE_MISSING' ? `${OWN}.${facts['figure']}` : FIELDS[code]
}

/**
 * Good numbers may still be no tube: a wall thicker than half of it, an unknown metal.
 *
 * @throws Refused `bad-input` with the domain's own sentence and the field at fault.
 */
export function askDomain<T>(work: () => T): T {
  try {
    return work()
  } catch (error) {
    if (!(error instanceof DomainError)) throw error
    throw new Refused('bad-input', error.message, fieldOf(error))
  }
}
