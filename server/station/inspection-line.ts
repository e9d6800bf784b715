import type { Act } from '../messages/acts.ts'
import type { Bend } from '../messages/bends.ts'
import { inspected } from '../quality/inspection.ts'

const standing = (within: boolean | null, limit: string, code: string) => {
  if (within === null) return 'no limit given'
  return `${within ? 'within' : 'outside'} ${limit} of ${code}`
}

const OVALITY = {
  nominal: { name: 'of the nominal diameter', unit: ' %', most: 'at most' },
  mean: { name: 'of the mean diameter', unit: ' %', most: 'at most' },
  ratio: { name: 'smallest by largest', unit: '', most: 'at least' },
} as const

function ovalityLine(act: Act<'inspection'>, { ovality }: ReturnType<typeof inspected>) {
  if (ovality === null) return null
  const { name, unit, most } = OVALITY[ovality.by]
  const limit = `${most} ${ovality.limit}${unit}`
  const figure = `${ovality.value.toFixed(ovality.by === 'ratio' ? 3 : 2)}${unit}`
  return `ovality ${figure} ${name} (${act.largestOdMm} and ${act.smallestOdMm} mm): ${standing(ovality.within, limit, act.limits?.code ?? '')}`
}

function wallLine(act: Act<'inspection'>, { thinning }: ReturnType<typeof inspected>) {
  if (thinning === null) return null
  const limit = `at most ${thinning.limit} %`
  return `wall ${act.wallMm} mm, ${thinning.value.toFixed(1)} % thinner: ${standing(thinning.within, limit, act.limits?.code ?? '')}`
}

function looksLine({ looks, flaws }: Act<'inspection'>) {
  if (looks === null) return null
  return looks === 'good'
    ? 'looks good'
    : `looks flawed${flaws.map((flaw) => `, ${flaw}`).join('')}`
}

/** An inspection in one line, as a certificate has it. */
export function inspectionLine(act: Act<'inspection'>, { tube }: Bend): string {
  const figures = inspected(act, tube)
  const parts = [ovalityLine(act, figures), wallLine(act, figures), looksLine(act)]
  const said = parts.filter((part) => part !== null).join('; ')
  return `inspected with ${act.gauge}: ${said}${act.remark === null ? '' : `; “${act.remark}”`}`
}
