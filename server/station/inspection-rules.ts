import type { ActAsk } from '../messages/acts.ts'
import type { Bend } from '../messages/bends.ts'
import { Refused } from '../web/station-door.ts'

type Ask = ActAsk<'inspection'>

/** No caliper shows a diameter so far from the tube's own, as shares of it. */
const OD_SHARES = { least: 0.3, most: 2 } as const

const wrong = (sentence: string, field: string) => new Refused('bad-input', sentence, field)

function demandDiameters({ largestOdMm, smallestOdMm }: Ask, odMm: number): void {
  if (largestOdMm === null && smallestOdMm === null) return
  if (largestOdMm === null || smallestOdMm === null) {
    const missing = largestOdMm === null ? 'largestOdMm' : 'smallestOdMm'
    throw wrong(
      `${missing} is missing: ovality needs the largest and the smallest diameter.`,
      missing,
    )
  }
  if (smallestOdMm > largestOdMm)
    throw wrong(
      `smallestOdMm is ${smallestOdMm}, more than the largest, ${largestOdMm}: look which is which.`,
      'smallestOdMm',
    )
  const isSmall = !(smallestOdMm >= OD_SHARES.least * odMm)
  if (isSmall || !(largestOdMm <= OD_SHARES.most * odMm))
    throw wrong(
      `${smallestOdMm} and ${largestOdMm} mm are no diameters of a tube of ${odMm} mm: look at the unit.`,
      isSmall ? 'smallestOdMm' : 'largestOdMm',
    )
}

function demandLooks({ looks, flaws, remark }: Ask): void {
  if (looks === 'flawed' && flaws.length === 0 && remark === null)
    throw wrong('flaws is empty: say what is wrong with its looks.', 'flaws')
  if (looks !== 'flawed' && flaws.length > 0)
    throw wrong('flaws are named of a bend whose looks are not said to be flawed.', 'looks')
}

function demandLimits({ limits }: Ask): void {
  if (limits === null) return
  const { code, ovality, thinningMaxPercent } = limits
  if (ovality === null && thinningMaxPercent === null)
    throw wrong(`limits names ${code} and no limit of it.`, 'limits')
  if (ovality?.by === 'ratio' && !(ovality.limit <= 1))
    throw wrong(
      `limits.ovality.limit of ${ovality.limit} is no ratio: it goes up to 1.`,
      'limits.ovality.limit',
    )
}

/** @throws Refused `bad-input` for an inspection that cannot be of this tube, or says nothing. */
export function demandInspection({ tube }: Pick<Bend, 'tube'>, ask: Ask): void {
  const { largestOdMm, smallestOdMm, wallMm, looks } = ask
  if ([largestOdMm, smallestOdMm, wallMm, looks].every((one) => one === null))
    throw wrong('looks is missing, as is all else: say what was measured or seen.', 'looks')
  demandDiameters(ask, tube.odMm)
  if (wallMm !== null && !(wallMm < tube.odMm / 2))
    throw wrong(`wallMm of ${wallMm} is no wall of a tube of ${tube.odMm} mm.`, 'wallMm')
  demandLooks(ask)
  demandLimits(ask)
}
