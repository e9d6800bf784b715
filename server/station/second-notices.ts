import type { Missed } from '../blocks/device-feed.ts'
import type { Notice } from '../messages/live.ts'
import type { Sensor } from '../messages/sensor.ts'
import type { Wire } from '../messages/wire.ts'
import { dialectOf } from './front-for.ts'

/** Longer than any transducer of the trade takes from one sentence to its next (common practice, no source). */
const MISSED_S = 5

/** Where what stands beside the angle is said to be, as the end of a sentence; null: nowhere. */
interface Second {
  readonly pressure: string | null
  readonly switch: string | null
}

/** What should stand beside the angle, and has not for a while though readings came. */
export function secondNotices(sensor: Sensor, missed: Missed, wire?: Wire): Notice[] {
  const isNative = wire === undefined || dialectOf(wire) === 'native'
  const second = isNative ? onTheBoard(sensor) : onTheWire(wire)
  const hint = isNative
    ? 'Wire it, and see that the board sends a second channel; or take it out of the mount on the Sensor page.'
    : 'Look at the raw lines on the Sensor page, and say there where it stands, or that there is none.'
  const notices: (Notice | false)[] = [
    second.pressure !== null &&
      missed.pressureS >= MISSED_S && {
        id: 'no-pressure',
        kind: 'fault',
        text: `Readings come, but no pressure ${second.pressure}.`,
        hint,
      },
    second.switch !== null &&
      missed.switchS >= MISSED_S && {
        id: 'no-switch',
        kind: 'fault',
        text: `Readings come, but nothing of the switch ${second.switch}.`,
        hint,
      },
  ]
  return notices.filter((notice) => notice !== false)
}

function onTheBoard({ second }: Sensor): Second {
  const where = "on the board's second channel"
  return {
    pressure: second?.kind === 'pressure' ? where : null,
    switch: second?.kind === 'switch' ? where : null,
  }
}

function onTheWire(wire: Wire): Second {
  if (wire.kind === 'bench') return NOWHERE
  if (wire.kind === 'modbus' || wire.dialect === 'modbus-rtu') {
    const { pressureRegister } = wire.options
    return { pressure: at('in register', pressureRegister ?? null), switch: null }
  }
  if (wire.dialect === 'native') return NOWHERE
  if (wire.dialect === 'number') {
    const { pressureColumn, switchColumn } = wire.options
    return {
      pressure: at('in column', pressureColumn || null),
      switch: at('in column', switchColumn || null),
    }
  }
  const { pressureName, switchName } = wire.options
  return { pressure: ofName('P', pressureName), switch: ofName('S', switchName) }
}

const NOWHERE: Second = { pressure: null, switch: null }

const at = (what: string, number: number | null): string | null =>
  number === null ? null : `${what} ${number}`

function ofName(type: string, name = ''): string | null {
  if (name === '') return null
  return name === '*' ? `of any transducer of type ${type}` : `of the transducer ${name}`
}
