import { makeBench } from '../../firmware-protocol/bench/bench.ts'
import type { DeviceSpec } from '../../firmware-protocol/bench/device.ts'
import type { Prompt } from '../../firmware-protocol/bench/prompt.ts'
import type { BenchOrder, BenchView, BendTruth } from '../../firmware-protocol/bench/workshop.ts'
import { makeAnnouncer } from './announcer.ts'
import type { Clock, Link } from './link.ts'

export interface BenchLinkOptions extends DeviceSpec {
  readonly clock: Clock
}

/** The built-in bench as a link like any other, with what one can do at a bender besides. */
export interface BenchLink extends Link {
  act(order: BenchOrder): void
  /** What the person at the bender sees; call it whenever it changes. */
  show(prompt: Prompt): void
  benchState(): BenchView
  /** The next tube is of this lot. */
  useLot(name: string): void
  /** What really happened at the last letting off: for tests. */
  truth(): BendTruth | null
}

/** One tick a sample at the usual 200 Hz. */
const TICK_S = 0.005
/** A daemon that was busy for longer finds that the board has left samples out, as a real one would. */
const CATCH_UP_MAX_S = 2
const SOURCE = 'built-in bench'

export function makeBenchLink({ clock, ...spec }: BenchLinkOptions): BenchLink {
  const bench = makeBench(spec)
  const announcer = makeAnnouncer(SOURCE)
  let timer: ReturnType<Clock['after']> | null = null
  let lastS = 0

  function tick(): void {
    const nowS = clock.nowS()
    const owedS = nowS - lastS
    lastS = nowS
    if (owedS > CATCH_UP_MAX_S) bench.skip(owedS - CATCH_UP_MAX_S)
    const lines = bench.advance(Math.min(owedS, CATCH_UP_MAX_S))
    timer = clock.after(TICK_S, tick)
    announcer.lines(lines.map((text) => ({ arrivalS: nowS, text })))
  }
  return {
    ...announcer,
    open() {
      if (timer) return
      lastS = clock.nowS()
      announcer.set({ state: 'live' })
      timer = clock.after(TICK_S, tick)
    },
    async close() {
      timer?.cancel()
      timer = null
      announcer.set({ state: 'closed', reason: 'The daemon has closed the bench.' })
    },
    send(line) {
      if (!timer) return false
      bench.receive(line)
      return true
    },
    judged: () => undefined,
    act: bench.order,
    show: bench.show,
    benchState: bench.view,
    useLot: bench.useLot,
    truth: bench.truth,
  }
}
