import { beforeEach, describe, expect, test } from 'vitest'
import { encodeSentence } from '../../../../firmware-protocol/codec/encode.ts'
import type { ModbusClient, OpenModbus } from '../../../../server/link/modbus-client.ts'
import { type ProbeResult, probePort } from '../../../../server/link/probe-port.ts'
import type { OpenPort } from '../../../../server/link/serial-port.ts'
import { makeSimulatedClock, type SimulatedClock } from '../../../support/simulated-clock.ts'
import { FakePort } from './fake-port.ts'

const PATH = '/dev/ttyUSB0'
const NATIVE = encodeSentence({
  ...{ kind: 'sample', sequence: 1, tickUs: 5000, counts: 1, flags: 0, second: null },
})

let clock: SimulatedClock
let rates: number[]
let ports: FakePort[]
beforeEach(() => {
  clock = makeSimulatedClock()
  rates = []
  ports = []
})

/** A port on which this is heard at a rate, ten times a second from `quietS` on. */
function portWith(
  speech: (baudRate: number) => string | Uint8Array | null,
  quietS = 0.05,
): OpenPort {
  return async (path, baudRate) => {
    rates.push(baudRate)
    const port = new FakePort(path)
    ports.push(port)
    const speak = () => {
      const said = speech(baudRate)
      if (said !== null && port.isOpen) port.speak(said)
      if (port.isOpen) clock.after(0.1, speak)
    }
    clock.after(quietS, speak)
    return port
  }
}

const noModbus: OpenModbus = async () => ({
  read: () => Promise.reject(Object.assign(new Error('late'), { errno: 'ETIMEDOUT' })),
  onGone: () => undefined,
  close: async () => undefined,
})

async function probe(openPort: OpenPort, openModbus: OpenModbus = noModbus): Promise<ProbeResult> {
  let result: ProbeResult | null = null
  const done = probePort(PATH, { clock, openPort, openModbus }).then((probed) => {
    result = probed
  })
  for (let step = 0; step < 400 && result === null; step++) await clock.run(0.1)
  await done
  return result!
}

const noise = Uint8Array.from([0x80, 0xf8, 0, 0xff, 0x9e, 10, 0x80, 0xf8])

describe('a board that speaks', () => {
  test('at the first rate is found there, and no other is tried', async () => {
    const { best, tries } = await probe(portWith(() => `${NATIVE}\r\n`))
    expect(best).toMatchObject({ baudRate: 115_200, dialect: 'native', unitId: null })
    expect(best?.sure).toBeGreaterThan(0.95)
    expect(tries).toHaveLength(1)
    expect(ports.every(({ isOpen }) => !isOpen)).toBe(true)
  })

  test('at a slower rate is found after the rates before it', async () => {
    const { best, tries } = await probe(
      portWith((baud) => (baud === 4800 ? '$YXXDR,A,47.25,D,ANGLE*21\r\n' : noise)),
    )
    expect(best).toMatchObject({ baudRate: 4800, dialect: 'nmea-xdr' })
    expect(rates).toEqual([115_200, 9600, 4800])
    expect(tries[0]).toMatchObject({ dialect: null, sure: 0 })
    expect(tries[0]?.why).toContain('wrong baud rate')
  })

  test('with plain numbers brings its column along', async () => {
    let nth = 0
    const { best } = await probe(portWith(() => `${nth++},${(47 + Math.sin(nth)).toFixed(2)}\n`))
    expect(best?.fit?.column).toEqual({ separator: 'comma', column: 2 })
  })

  test('that boots for two seconds first is waited for', async () => {
    const { best } = await probe(portWith(() => `${NATIVE}\r\n`, 2))
    expect(best).toMatchObject({ baudRate: 115_200, dialect: 'native' })
  })

  test('at no rate that makes sense is told so, and never polled', async () => {
    let polled = 0
    const { best, tries, trouble } = await probe(
      portWith(() => noise),
      async () => {
        polled++
        throw new Error('no')
      },
    )
    expect({ best, trouble, polled }).toEqual({ best: null, trouble: null, polled: 0 })
    expect(tries.length).toBeGreaterThan(5)
  })

  test('without an end is listened to for no longer than needed', async () => {
    const { tries } = await probe(portWith(() => Buffer.alloc(70_000, 0x55)))
    expect(tries.every(({ sure }) => sure === 0)).toBe(true)
  })

  test('is never spoken to', async () => {
    await probe(portWith(() => `${NATIVE}\r\n`))
    expect(ports.flatMap(({ written }) => written)).toEqual([])
  })
})

describe('where nobody speaks', () => {
  const answering = (unitAt: (baud: number) => number | null, how: 'value' | 'exception') => {
    const asked: string[] = []
    const open: OpenModbus = async ({ baudRate }): Promise<ModbusClient> => ({
      read: async ({ unitId }) => {
        asked.push(`${baudRate}/${unitId}`)
        if (unitAt(baudRate) !== unitId)
          throw Object.assign(new Error('late'), { errno: 'ETIMEDOUT' })
        if (how === 'exception') throw Object.assign(new Error('refused'), { modbusCode: 2 })
        return [1]
      },
      onGone: () => undefined,
      close: async () => undefined,
    })
    return { open, asked }
  }

  test.each(['value', 'exception'] as const)('a Modbus sensor is found by its %s', async (how) => {
    const { open, asked } = answering((baud) => (baud === 19_200 ? 2 : null), how)
    const { best } = await probe(
      portWith(() => null),
      open,
    )
    expect(best).toMatchObject({ baudRate: 19_200, dialect: 'modbus-rtu', unitId: 2, sure: 0.9 })
    expect(asked.at(-1)).toBe('19200/2')
    expect(rates).toEqual([115_200])
  })

  test('and nobody answers, that is said', async () => {
    const { open } = answering(() => null, 'value')
    const { best, tries } = await probe(
      portWith(() => null),
      open,
    )
    expect(best).toBeNull()
    expect(tries[0]?.why).toBe('Nothing arrives.')
    expect(tries.at(-1)?.why).toContain('No Modbus sensor answers')
  })
})

describe('a port that cannot be had', () => {
  test('is told of with its reason', async () => {
    const openPort: OpenPort = () =>
      Promise.reject(new Error('Error: No such file or directory, cannot open'))
    const { best, trouble } = await probe(openPort)
    expect(best).toBeNull()
    expect(trouble).toMatchObject({ kind: 'missing', reason: `There is no port ${PATH}.` })
  })

  test('that goes while it is listened at ends that try', async () => {
    const openPort = portWith(() => null)
    const result = probe(async (path, baud) => {
      const port = (await openPort(path, baud)) as FakePort
      clock.after(0.2, () => port.vanish('close'))
      return port
    })
    expect((await result).best).toBeNull()
  })
})
