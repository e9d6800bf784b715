import type { Clock, ReceivedLine } from '../link/link.ts'
import type { Notice } from '../messages/live.ts'
import type { Sensor } from '../messages/sensor.ts'
import type { Wire } from '../messages/wire.ts'
import type { Axes } from '../quality/accelerometer-fit.ts'
import { makeGravityWatch } from './gravity-watch.ts'
import { secondNotices } from './second-notices.ts'
import { type BoardSeen, checkSensor } from './sensor-check.ts'
import { sensorNotices } from './sensor-notices.ts'
import type { makeWireWatch } from './wire-watch.ts'

export interface BoardWatch {
  hear(lines: readonly ReceivedLine[]): void
  /** @throws Refused with one sentence for a sensor that the board on the wire is not. */
  check(sensor: Sensor, wire?: Wire): void
  notices(sensor: Sensor, wire?: Wire): Notice[]
  /** Mean of the newest axes of an accelerometer; null when none came of late. */
  gravity(): Axes | null
}

/** Holds a sensor as the set-up has it against the board that is there. */
export function makeBoardWatch(
  clock: Clock,
  link: Pick<ReturnType<typeof makeWireWatch>, 'state' | 'missed'>,
): BoardWatch {
  const gravity = makeGravityWatch()
  const seen = (): BoardSeen => {
    const { state, device } = link.state()
    return { device: state === 'live' ? device : null, gravity: gravity.seen(clock.nowS()) }
  }
  return {
    hear: gravity.hear,
    check: (sensor, wire) => checkSensor(sensor, seen(), wire),
    gravity: () => seen().gravity,
    notices: (sensor, wire) => [
      ...sensorNotices(sensor, seen(), wire),
      ...secondNotices(sensor, link.missed(), wire),
    ],
  }
}
