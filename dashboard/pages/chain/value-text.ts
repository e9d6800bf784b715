import { words } from '../../words/en.ts'
import { fixed } from '../../words/format.ts'
import type { Flow } from './flow.ts'

const { chain: say } = words

/** As many decimals as are worth reading, by the unit. */
const DECIMALS: Readonly<Record<string, number>> = { deg: 2, 'deg/s': 1, bar: 2, s: 3, count: 0 }

const unitText = (unit: string) => (unit === 'deg' ? '°' : unit === '1' ? '' : ` ${unit}`)

/** What goes over an output now, with its unit; a count of what came for events. */
export function valueText({ output, ageS }: Flow, carries: 'number' | 'item', of: string): string {
  if (ageS === null) return say.silent
  if (carries === 'item') return say.items(output.good)
  if (output.value === null) return say.silent
  return `${fixed(output.value, DECIMALS[of] ?? 2)}${unitText(of)}`
}
