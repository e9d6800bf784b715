import { RATCHET_ARM } from '../../firmware-protocol/bench/arm.ts'
import type { BenchMount } from '../../firmware-protocol/bench/mount.ts'
import { TRANSDUCER } from '../../firmware-protocol/bench/pressure.ts'
import type { PressureChannel, Sensor } from '../messages/sensor.ts'

/** Where the bench's sensor sits, and whether it sends the ram's pressure as well. */
export interface BenchSensor {
  readonly mount: BenchMount
  readonly pressure: boolean
}

/** Well below the 140 bar of the bench's bends, well above its noise and its friction. */
const LET_OFF_BAR = 5
/** Less than the arm's stroke, more than any tube of the bench comes back. */
const BITE_DEG = 20

const { zeroCounts, fullCounts, fullBar } = TRANSDUCER
const SECOND: PressureChannel = {
  kind: 'pressure',
  zeroCounts,
  fullCounts,
  fullBar,
  letOffBar: LET_OFF_BAR,
}

const WHERE: Readonly<Record<BenchMount, Pick<Sensor, 'mount' | 'tiltOn'>>> = {
  die: { mount: 'die' },
  arm: { mount: 'arm' },
  'ratchet-arm': { mount: 'arm' },
  'swing-tilt': { mount: 'swing-tilt' },
  'arm-tilt': { mount: 'swing-tilt', tiltOn: 'arm' },
  'leg-tilt': { mount: 'leg-tilt' },
}

/** The bench's sensor as a set-up has it. */
export function benchSensor({ mount, pressure }: BenchSensor): Sensor {
  const isRatchet = mount === 'ratchet-arm'
  return {
    ...WHERE[mount],
    countsPerTurn: 0,
    direction: 'forward',
    ...(isRatchet && { arm: { biteDeg: BITE_DEG, backlashDeg: RATCHET_ARM.backlashDeg } }),
    ...(pressure && { second: SECOND }),
  }
}
