import { decodeLine } from '../../firmware-protocol/codec/decode.ts'
import { makeClock } from '../../server/link/clock.ts'
import type { ReceivedLine, WireState } from '../../server/link/link.ts'
import { SerialLink, type SerialLinkOptions } from '../../server/link/serial-link.ts'
import { until } from './daemon.ts'

export interface OpenLink {
  readonly link: SerialLink
  readonly lines: ReceivedLine[]
  readonly states: WireState[]
  /** Waits for a state, and gives it. */
  reaches(state: WireState['state'], seconds?: number): Promise<WireState>
}

/** A link on this machine's clock that is judged as the daemon judges: by the native protocol. */
export function openLink(options: Omit<SerialLinkOptions, 'clock' | 'baudRate'>): OpenLink {
  const link = new SerialLink({ baudRate: 115_200, clock: makeClock(), ...options })
  const lines: ReceivedLine[] = []
  const states: WireState[] = []
  link.onState((state) => states.push(state))
  link.onLines((batch) => {
    lines.push(...batch)
    const good = batch.filter(({ text }) => decodeLine(text).ok).length
    link.judged(good, batch.length - good)
  })
  link.open()
  return {
    link,
    lines,
    states,
    reaches: (wanted, seconds = 20) =>
      until(
        async () => link.state(),
        ({ state }) => state === wanted,
        { seconds, what: `the state ${wanted}` },
      ),
  }
}
