import { existsSync } from 'node:fs'
import { makeIdleLink } from '../link/idle-link.ts'
import type { Clock, ReceivedLine } from '../link/link.ts'
import { listPortEntries } from '../link/list-ports.ts'
import { type LinkSwitch, makeLinkSwitch } from '../link/switch-link.ts'
import type { Probed, RecentLine, Wire, WireChoice } from '../messages/wire.ts'
import { Refused, type WireDoor } from '../web/station-door.ts'
import type { BenchDoor } from './bench-door.ts'
import { meaningOf } from './line-meaning.ts'
import type { MadeLink } from './make-link.ts'
import { probeFor } from './probe-for.ts'
import { wireTrouble } from './wire-check.ts'

/** As many as a page shows at once. */
const RECENT_LINES = 50
/** A port that was let go may be away for a moment: some boards begin anew when they are closed. */
const BACK_WITHIN_S = 2
const LOOK_EVERY_S = 0.05

export interface WireDeskParts {
  readonly clock: Clock
  readonly first: Wire
  readonly make: (wire: Wire) => MadeLink
  /** Puts another wire in place between bends, whatever `swap` does; throws `Refused` in mid-bend. */
  readonly rewire: (swap: () => void) => void
  readonly remember: (wire: WireChoice) => void
  /** How much faster than real the clock runs: a sensor knows the real one only. */
  readonly speed: number
  /** Handed in by tests. */
  readonly probe?: (path: string, clock: Clock) => Promise<Probed>
  readonly isThere?: (path: string) => boolean
}

/** Which wire is in force, and what comes over it. */
export interface WireDesk extends WireDoor {
  /** Goes on over a change of the wire. */
  readonly link: LinkSwitch
  bench(): BenchDoor | null
}

export function makeWireDesk(parts: WireDeskParts): WireDesk {
  const { clock, first, make, rewire, remember, speed, probe = probeFor } = parts
  const { isThere = existsSync } = parts
  let wire = first
  let made = make(first)
  let recent: ReceivedLine[] = []
  const link = makeLinkSwitch(made.link)
  link.onLines((lines) => {
    recent = [...recent, ...lines.slice(-RECENT_LINES)].slice(-RECENT_LINES)
  })

  const probing = makeOneAtATime()

  async function isBack(path: string): Promise<void> {
    const endS = clock.nowS() + BACK_WITHIN_S
    while (!isThere(path) && clock.nowS() < endS)
      await new Promise<void>((resolve) => void clock.after(LOOK_EVERY_S, resolve))
  }

  function take(next: Wire, nextMade: MadeLink): Promise<void> {
    let done = Promise.resolve()
    rewire(() => {
      wire = next
      made = nextMade
      recent = []
      done = link.use(made.link)
    })
    return done
  }

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
      void take(next, nextMade)
      remember(next)
    },
    ports: listPortEntries,
    async probe(path) {
      const before = wire
      const holdsIt = 'path' in before && before.path === path
      const probeIt = (): Promise<Probed> => probe(path, clock)
      return await probing.alone(async () => {
        if (!holdsIt) return await probeIt()
        // Our own hold on the port is let go for as long as it is listened at.
        await take(before, { link: makeIdleLink(path), bench: null })
        try {
          await isBack(path)
          return await probeIt()
        } finally {
          if (wire === before) await take(before, make(before))
        }
      })
    },
  }
}

const asRecent = (wire: Wire, arrivalS: number, text: string): RecentLine => ({
  arrivalS,
  text,
  ...meaningOf(wire, text),
})

/** Two who listen at once would take each other's bytes. */
function makeOneAtATime() {
  let isBusy = false
  return {
    async alone<T>(work: () => Promise<T>): Promise<T> {
      if (isBusy) throw new Refused('not-now', 'A port is being listened at: wait some seconds.')
      isBusy = true
      try {
        return await work()
      } finally {
        isBusy = false
      }
    },
  }
}
