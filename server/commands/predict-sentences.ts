import type { FirstBend } from '../bend/first-bend.ts'

/** What was asked: lengths in mm, the wanted angle in degrees. */
interface Asked {
  readonly od: number
  readonly wall: number
  readonly clr: number
  readonly angle: number
}

const percent = (fraction: number) => (100 * fraction).toFixed(0)

function ofSection({ estimates, warnings }: FirstBend): readonly string[] {
  const { outerStretch, thinningLow, thinningHigh, ovality } = estimates
  const wall = `${percent(thinningLow)} to ${percent(thinningHigh)} % thinner outside`
  return [
    `Estimates      stretch ${percent(outerStretch)} % outside, wall ${wall}, ` +
      `flattened ${percent(ovality)} % without a mandrel`,
    ...warnings.map(({ sentence }) => `Beware         ${sentence}`),
  ]
}

/** One line a figure, for people. */
export function sentencesOf(asked: Asked, result: FirstBend): readonly string[] {
  const { loadedDeg, springbackDeg, lowDeg, highDeg, releasedRadiusMm, note } = result
  const [od, wall, clr] = [asked.od, asked.wall, asked.clr].map((mm) => +mm.toFixed(3))
  const tube = `${od} × ${wall} mm on a centreline radius of ${clr} mm`
  const spread =
    lowDeg === null || highDeg === null
      ? ''
      : ` (95 %: ${lowDeg.toFixed(2)}° to ${highDeg.toFixed(2)}°)`
  const comesBack =
    springbackDeg === null ? 'all or most of it' : `${springbackDeg.toFixed(2)}°${spread}`
  const intercept = result.interceptDeg === 0 ? '' : ` and ${result.interceptDeg.toFixed(2)}°`
  const lines = [
    `Tube           ${tube}, ${asked.angle}° wanted`,
    `Load to        ${loadedDeg === null ? 'no angle' : `${loadedDeg.toFixed(2)}°`}`,
    `Springback     ${comesBack}`,
    `Comes back     ${(100 * result.slope).toFixed(2)} % of the loaded angle${intercept}`,
    `Bending moment ${result.momentNm.toFixed(1)} N·m`,
    `Second moment  ${result.secondMomentMm4.toFixed(1)} mm⁴`,
  ]
  if (releasedRadiusMm !== null) lines.push(`Radius after   ${releasedRadiusMm.toFixed(1)} mm`)
  if (loadedDeg !== null) lines.push(...ofSection(result))
  if (note !== null) lines.push(note)
  return lines
}
