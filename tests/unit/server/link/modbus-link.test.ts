import { afterEach, beforeEach, describe, expect, it, test } from 'vitest'
import type { ReceivedLine, WireState } from '../../../../server/link/link.ts'
import { failureOf, type ModbusClient } from '../../../../server/link/modbus-client.ts'
import { ModbusLink } from '../../../../server/link/modbus-link.ts'
import { describeFailure } from '../../../../server/link/modbus-words.ts'
import { makeSimulatedClock, type SimulatedClock } from '../../../support/simulated-clock.ts'

const PATH = '/dev/ttyUSB0'

let clock: SimulatedClock
let link: ModbusLink
let lines: ReceivedLine[]
let states: WireState[]
/** What the sensor does with each poll: answers, or throws. */
let answer: () => readonly number[]
let answerTakesS: number
let opens: number
let openError: Error | null
let gone: (() => void) | null
let closed: number

beforeEach(() => {
  clock = makeSimulatedClock()
  lines = []
  states = []
  answer = () => [1, 2]
  answerTakesS = 0.01
  opens = 0
  closed = 0
  openError = null
  gone = null
})

afterEach(async () => {
  await link.close()
})

function start(pollS = 0.1): void {
  const openPort = async (): Promise<ModbusClient> => {
    if (openError) throw openError
    opens++
    return {
      read: () =>
        new Promise((resolve, reject) => {
          clock.after(answerTakesS, () => {
            try {
              resolve(answer())
            } catch (error) {
              reject(error)
            }
          })
        }),
      onGone: (listener) => {
        gone = listener
      },
      close: async () => void closed++,
    }
  }
  link = new ModbusLink({
    ...{ path: PATH, baudRate: 9600, parity: 'none', pollS, clock, openPort },
    poll: { unitId: 5, function: 'input', register: 0, count: 2, timeoutS: 0.5 },
    chance: () => 0.5,
  })
  link.onState((state) => states.push(state))
  link.onLines((batch) => lines.push(...batch))
  link.open()
}

const failing = (error: object) => {
  answer = () => {
    throw Object.assign(new Error('failed'), error)
  }
}
const TIMEOUT = { errno: 'ETIMEDOUT' }

describe('polls', () => {
  it('become one line each, with the age of the value', async () => {
    start()
    await clock.run(1.05)
    expect(lines.length).toBeGreaterThanOrEqual(10)
    expect(lines.length).toBeLessThanOrEqual(11)
    // 10 ms after the question, of which 8 bytes of 11 bits took 9.17 ms at 9600 baud.
    expect(lines[0]?.text).toBe('MB 5 833 00010002')
    expect(link.state()).toMatchObject({ state: 'live', reason: '', reconnects: 0 })
  })

  it('of a sensor slower than the period follow one another, never two at a time', async () => {
    answerTakesS = 0.25
    start()
    await clock.run(1.6)
    const gaps = lines.slice(1).map(({ arrivalS }, nth) => arrivalS - lines[nth]!.arrivalS)
    expect(gaps.length).toBeGreaterThan(3)
    for (const gapS of gaps) expect(gapS).toBeGreaterThanOrEqual(0.25)
  })

  it('that fail once or twice are lines, and no news of the wire', async () => {
    start()
    await clock.run(0.5)
    failing(TIMEOUT)
    await clock.run(0.2)
    answer = () => [3, 4]
    await clock.run(2)
    expect(lines.some(({ text }) => text === 'ME 5 timeout 0')).toBe(true)
    expect(states.map(({ state }) => state)).not.toContain('silent')
  })

  it('after a failure wait as long as a late answer may take', async () => {
    failing(TIMEOUT)
    start()
    await clock.run(1.2)
    const gapS = lines[1]!.arrivalS - lines[0]!.arrivalS
    expect(gapS).toBeGreaterThanOrEqual(0.5)
  })
})

describe('a port', () => {
  it('that cannot be opened is tried again, ever more seldom', async () => {
    openError = new Error('Permission denied, cannot open /dev/ttyUSB0')
    start()
    await clock.run(0.1)
    expect(link.state()).toMatchObject({
      state: 'opening',
      reason: `This user may not open ${PATH}.`,
    })
    openError = null
    await clock.run(3)
    expect(link.state().state).toBe('live')
  })

  it('that goes by itself is lost, and opened again', async () => {
    start()
    await clock.run(0.5)
    gone?.()
    expect(link.state()).toMatchObject({ state: 'lost', reason: expect.stringContaining('gone') })
    await clock.run(2)
    expect(link.state()).toMatchObject({ state: 'live', reconnects: 1 })
    expect(opens).toBe(2)
  })

  it('that is found closed by a poll is lost too', async () => {
    start()
    await clock.run(0.5)
    failing({ errno: 'ECONNREFUSED', message: 'Port Not Open' })
    await clock.run(0.15)
    expect(states.map(({ state }) => state)).toContain('lost')
  })

  it('on which nobody answers is opened anew, and stays silent meanwhile', async () => {
    failing(TIMEOUT)
    start()
    await clock.run(13)
    expect(opens).toBeGreaterThan(1)
    const told = states.map(({ state }) => state)
    expect(told.slice(told.indexOf('silent'))).not.toContain('waiting')
    expect(link.state().reason).toBe(`No sensor answers as unit 5 on ${PATH}.`)
  })

  it('is free again when the link is closed, in mid-poll as well', async () => {
    start()
    await clock.run(0.105)
    await link.close()
    expect(closed).toBe(1)
    const heard = lines.length
    await clock.run(2)
    expect(lines).toHaveLength(heard)
    expect(link.state().state).toBe('closed')
  })

  it('that opens after the link was closed is let go', async () => {
    start()
    await link.close()
    await clock.run(1)
    expect(closed).toBe(1)
    expect(lines).toEqual([])
  })
})

describe('what went wrong', () => {
  test.each([
    [{ modbusCode: 2 }, { kind: 'exception', code: 2 }],
    [{ errno: 'ETIMEDOUT' }, { kind: 'timeout', code: 0 }],
    [
      { message: 'Port Not Open', errno: 'ECONNREFUSED' },
      { kind: 'gone', code: 0 },
    ],
    [{ message: 'CRC error' }, { kind: 'crc', code: 0 }],
    [{ message: 'Data length error, expected 9 got 7' }, { kind: 'crc', code: 0 }],
    [undefined, { kind: 'crc', code: 0 }],
  ])('%j is %j', (error, failure) => {
    expect(failureOf(error)).toEqual(failure)
  })

  test.each([1, 2, 3, 4, 6, 11])('exception %d is told in one sentence with its number', (code) => {
    const { state, reason, hint } = describeFailure({ kind: 'exception', code }, PATH, 5)
    expect(state).toBe('garbled')
    expect(reason).toMatch(new RegExp(`^Unit 5 on ${PATH} .*\\(exception ${code}\\)\\.$`))
    expect(hint).toMatch(/^[A-Z][^.]+\.$/)
  })
})
