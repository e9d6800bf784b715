import type { SpringbackLaw } from '../../../server/messages/springback.ts'
import type { SheetFact } from '../../widgets/fact-sheet.tsx'
import { words } from '../../words/en.ts'
import { degrees, fixed } from '../../words/format.ts'

const { law: say } = words.springback

const percent = (share: number, decimals: number) => `${fixed(100 * share, decimals)} %`

/** The law's coefficients with their standard deviations. */
export function lawFacts(law: SpringbackLaw): SheetFact[] {
  const { slope, slopeSd, predictedSlope, interceptDeg, interceptSdDeg, noiseSdDeg } = law
  return [
    { name: say.arc, value: say.arcValue(percent(slope, 2), percent(slopeSd, 2)) },
    { name: say.predicted, value: say.ofAngle(percent(predictedSlope, 2)) },
    { name: say.legs, value: `${degrees(interceptDeg, 2)} ± ${degrees(interceptSdDeg, 2)}` },
    { name: say.noise, value: `± ${degrees(noiseSdDeg, 2)}` },
  ]
}
