import type { ReceivedLine } from '../link/link.ts'
import { type LinkSwitch, makeLinkSwitch } from '../link/switch-link.ts'
import type { RecentLine, Wire, WireChoice } from '../messages/wire.ts'
import { Refused, type WireDoor } from '../web/station-door.ts'
import type { BenchDoor } from './bench-door.ts'
import { meaningOf } from './line-meaning.ts'
import type { MadeLink } from './make-link.ts'
import { wireTrouble } from './wire-check.ts'

/** As many as a page shows at once. */
const RECENT_LINES = 50

export interface WireDeskParts {
  readonly first: Wire
  readonly make: (wire: Wire) => MadeLink
  /** Puts another wire in place between bends, whatever `swap` does; throws `Refused` in mid-bend. */
  readonly rewire: (swap: () => void) => void
  readonly remember: (wire: WireChoice) => void
  /** How much faster than real the clock runs: a sensor knows the real one only. */
  readonly speed: number
}

/** Which wire is in force, and what comes over it. */
export interface WireDesk extends WireDoor {
  /** Goes on over a change of the wire. */
  readonly link: LinkSwitch
  bench(): BenchDoor | null
}

export function makeWireDesk({ first, make, rewire, remember, speed }: WireDeskParts): WireDesk {
  let wire = first
  let made = make(first)
  let recent: ReceivedLine[] = []
  const link = makeLinkSwitch(made.link)
  link.onLines((lines) => {
    recent = [...recent, ...lines.slice(-RECENT_LINES)].slice(-RECENT_LINES)
  })

  return {
    link,
    bench: () => made.bench,
    wire: () => wire,
    lines: () => recent.map(({ arrivalS, text }) => asRecent(wire, arrivalS, text)),
    use(next) {
      const trouble = wireTrouble(next)
      if (trouble !== null) {
        const field = `options.${trouble.option}`
        throw new Refused('bad-input', `${field} ${trouble.must}.`, field)
      }
      if (next.kind !== 'bench' && speed !== 1)
        throw new Refused(
          'not-now',
          `This daemon runs ${speed} times as fast as the clock on the wall, for its bench: start it without --bench-speed for a sensor.`,
        )
      const nextMade = make(next)
      rewire(() => {
        wire = next
        made = nextMade
        recent = []
        link.use(made.link)
      })
      remember(next)
    },
  }
}

const asRecent = (wire: Wire, arrivalS: number, text: string): RecentLine => ({
  arrivalS,
  text,
  ...meaningOf(wire, text),
})
