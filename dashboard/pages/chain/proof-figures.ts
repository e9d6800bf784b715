import type { ProofOfBend, ProvedBend } from '../../../server/messages/chain.ts'
import { words } from '../../words/en.ts'
import { degrees, fixed } from '../../words/format.ts'

const { prove: say } = words.chain

export const QUANTITIES = ['datumDeg', 'peakDeg', 'releasedDeg', 'cueDeg', 'cueS'] as const
type Quantity = (typeof QUANTITIES)[number]

/** Seconds to the millisecond, angles to the hundredth of a degree. */
const SECONDS_DECIMALS = 3
const ANGLE_DECIMALS = 2

function figure(proof: ProofOfBend | null, quantity: Quantity): string {
  const value = proof?.[quantity] ?? null
  if (value === null) return say.missing
  return quantity === 'cueS'
    ? `${fixed(value, SECONDS_DECIMALS)} s`
    : degrees(value, ANGLE_DECIMALS)
}

/** How much more the draft gives, with its sign; empty where one of the two has none. */
function difference({ before, after }: ProvedBend, quantity: Quantity): string {
  const old = before?.[quantity] ?? null
  const now = after?.[quantity] ?? null
  if (old === null || now === null) return ''
  const by = now - old
  const plus = by > 0 ? '+' : ''
  return quantity === 'cueS'
    ? `${plus}${fixed(by, SECONDS_DECIMALS)} s`
    : `${plus}${degrees(by, ANGLE_DECIMALS)}`
}

/** A quantity of a bend by the chain of the record and by the draft, as shown. */
export interface Compared {
  readonly before: string
  readonly after: string
  readonly difference: string
  readonly isAlike: boolean
}

export function compared(bend: ProvedBend, quantity: Quantity): Compared {
  const before = figure(bend.before, quantity)
  const after = figure(bend.after, quantity)
  return { before, after, difference: difference(bend, quantity), isAlike: before === after }
}

/** Bends of which any figure is another than before, to the digits that are shown. */
export const differing = (bends: readonly ProvedBend[]): number =>
  bends.filter((bend) => QUANTITIES.some((quantity) => !compared(bend, quantity).isAlike)).length
