import { encodeSentence } from '../../firmware-protocol/codec/encode.ts'
import { IDENTIFY_COMMAND } from '../blocks/decode.ts'
import type { DeviceMessage } from '../blocks/device-feed.ts'
import type { DeviceReport } from '../blocks/device-report.ts'
import type { Link } from '../link/link.ts'
import { ORIGIN_LOST } from './notices.ts'
import type { makeWireWatch } from './wire-watch.ts'

/** Asks a board who it is. */
export const IDENTIFY = encodeSentence({ kind: 'identify', command: IDENTIFY_COMMAND })
/** Bits of a sample's flags. */
const SENSOR_FAULT = 1
const SIMULATED_DEVICE = 8

interface EarParts {
  readonly link: Pick<Link, 'judged'>
  readonly wire: ReturnType<typeof makeWireWatch>
  /** The whole station is a bench: nothing that the device says makes it real. */
  readonly isBench: () => boolean
  pedal(): void
  answered(answer: Extract<DeviceReport, { kind: 'answer' }>): void
}

/** What the chain makes of the device's lines besides angles, kept for the page and for the station. */
export function makeDeviceEar({ link, wire, isBench, pedal, answered }: EarParts) {
  let judged = { good: 0, refused: 0, unknown: 0 }
  let isIntroduced = false
  let sensorFault = false
  let simulated = isBench()
  let originLost: string | null = null

  function report(said: DeviceReport): void {
    if (said.kind === 'hello') {
      wire.hello(said)
      isIntroduced = true
    }
    if (said.kind === 'flags') {
      sensorFault = (said.flags & SENSOR_FAULT) !== 0
      simulated ||= (said.flags & SIMULATED_DEVICE) !== 0
    }
    if (said.kind === 'answer') answered(said)
    if (said.kind === 'event' && said.input === 1 && said.edge === 'down') pedal()
  }

  return {
    /** @returns whether the page has something new to show at once. */
    hear(message: DeviceMessage): boolean {
      if (message.type === 'counters') {
        const { lines, badChecksum, malformed, overlong, unknown } = message.counters
        const refused = badChecksum + malformed + overlong
        const good = lines - refused - unknown
        link.judged(good - judged.good, refused - judged.refused, unknown - judged.unknown)
        judged = { good, refused, unknown }
        wire.counted(message.counters, message.missed)
        return false
      }
      if (message.type === 'origin-lost') originLost = ORIGIN_LOST[message.reason]
      else report(message.report)
      return true
    },
    /** Another chain begins, and knows nothing yet. */
    beginAnew(): void {
      judged = { good: 0, refused: 0, unknown: 0 }
      isIntroduced = false
      sensorFault = false
      simulated = isBench()
    },
    datumTaken(): void {
      originLost = null
    },
    /** The chain has heard the board's hello, and with it the counts of a turn. */
    isIntroduced: () => isIntroduced,
    state: () => ({ simulated, sensorFault, originLost }),
  }
}
