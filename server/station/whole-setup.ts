import { springbackSlope } from '../bend/section.ts'
import { materialOfTube, wholeFigures } from '../bend/tube-metal.ts'
import type { Setup } from '../messages/setup.ts'

/**
 * The set-up as it is stored: what its owner left out of the figures of a metal filled in.
 *
 * @throws DomainError for what no tube or metal can be: nothing is stored then.
 */
export function wholeSetup(setup: Setup): Setup {
  const { ownMaterial, ...tube } = setup.tube
  const { law, unloadingFactor } = materialOfTube(setup.tube)
  springbackSlope({ ...tube, clrMm: setup.die.clrMm }, law, unloadingFactor)
  if (ownMaterial === undefined) return setup
  return { ...setup, tube: { ...tube, ownMaterial: wholeFigures(ownMaterial) } }
}
