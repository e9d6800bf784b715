import { expect, test } from 'vitest'
import type { Broker } from '../../../../../server/station/taps/mqtt-connection.ts'
import { openMqttTap } from '../../../../../server/station/taps/mqtt-tap.ts'
import { NotLetOut } from '../../../../../server/station/taps/tap.ts'
import type { TapAround } from '../../../../../server/station/taps/tap-around.ts'
import { makeSimulatedClock } from '../../../../support/simulated-clock.ts'

const SETTINGS = {
  ...{ host: '10.0.0.9', port: 1883, topic: 'shop/bender-1', retain: true, login: '' },
  ...{ unit: 'deg' as const, everyS: 1, step: 0 },
}

function makeTap(more: Partial<typeof SETTINGS> = {}, env: TapAround['env'] = {}) {
  const clock = makeSimulatedClock()
  const broker = {
    isThere: true,
    /** Takes messages, but never says so. */
    isDumb: false,
    tries: 0,
    told: [] as Broker[],
    taken: [] as string[],
    breakOff: (): void => undefined,
  }
  const around = {
    ...{ clock, folder: '/nowhere', env, after: Promise.resolve() },
    wallMsAt: (timeS: number) => Date.UTC(2024, 0, 15, 8) + timeS * 1000,
    post: () => Promise.reject(new Error('none here')),
    async connectBroker(asked) {
      broker.tries += 1
      if (!broker.isThere) throw new NotLetOut('10.0.0.9:1883 cannot be reached: nobody.')
      broker.told.push(asked)
      const closers: (() => void)[] = []
      let isOpen = true
      broker.breakOff = () => {
        if (!isOpen) return
        isOpen = false
        for (const closed of closers) closed()
      }
      return {
        publish: (topic, payload, retain) =>
          new Promise((resolve, reject) => {
            closers.push(() => reject(new Error('closed')))
            if (!isOpen) return reject(new Error('closed'))
            if (broker.isDumb) return
            broker.taken.push(`${topic}${retain ? ' kept' : ''} ${payload}`)
            resolve()
          }),
        onClose: (listener) => void closers.push(listener),
        async end() {
          broker.taken.push('leave')
          broker.breakOff()
        },
        drop: () => broker.breakOff(),
      }
    },
  } satisfies TapAround
  const tap = openMqttTap({ ...SETTINGS, ...more }, around)
  const hear = (value: number) =>
    tap.hear({ type: 'value', block: 'x', timeS: value, value, unit: 'deg', quality: 'good' })
  return { clock, broker, tap, hear, taken: () => broker.taken.splice(0) }
}

const HERE = 'shop/bender-1/station kept {"station":"here"}'
const GONE = 'shop/bender-1/station kept {"station":"gone"}'

test('says that it is here, with the last will that it is gone; then value, unit, quality and time', async () => {
  const { clock, broker, tap, hear, taken } = makeTap()
  await clock.run(0.1)
  expect(taken()).toEqual([HERE])
  expect(broker.told[0]?.will).toMatchObject({
    topic: 'shop/bender-1/station',
    payload: '{"station":"gone"}',
  })
  // MQTT 3.1.1, 3.1.3.1: every server must allow 1 to 23 of these characters.
  expect(broker.told[0]?.clientId).toMatch(/^[0-9a-zA-Z]{1,23}$/)
  hear(1.5)
  await clock.run(0.1)
  const [line = ''] = taken()
  expect(line.startsWith('shop/bender-1 kept ')).toBe(true)
  const payload = JSON.parse(line.slice('shop/bender-1 kept '.length)) as Record<string, unknown>
  expect(Object.keys(payload)).toEqual(['value', 'unit', 'quality', 'at'])
  expect(payload).toMatchObject({ value: 1.5, unit: 'deg', quality: 'good' })
  expect(Date.parse(payload['at'] as string)).toBe(Date.UTC(2024, 0, 15, 8) + 1500)
  expect(tap.standing()).toMatchObject({ sent: 1, trouble: null })
})

test('an event goes to a topic of its own, and is never the value that is kept', async () => {
  const { clock, tap, taken } = makeTap()
  await clock.run(0.1)
  taken()
  tap.hear({ type: 'event', block: 'x', timeS: 3, event: 'bend held', facts: { angleDeg: 90 } })
  await clock.run(0.1)
  expect(taken()).toEqual([
    expect.stringMatching(/^shop\/bender-1\/event \{"event":"bend held","facts":\{"angleDeg":90\}/),
  ])
})

test('a broker that is down, then up: what was said meanwhile follows in order, once', async () => {
  const { clock, broker, tap, hear, taken } = makeTap({ retain: false })
  await clock.run(0.1)
  taken()
  broker.isThere = false
  broker.breakOff()
  for (const value of [1, 2, 3]) hear(value)
  await clock.run(60)
  expect(taken()).toEqual([])
  expect(broker.tries).toBeGreaterThan(10)
  expect(broker.tries).toBeLessThan(30)
  expect(tap.standing()).toMatchObject({ waiting: 3, sent: 0 })
  expect(tap.standing().trouble).toBe('10.0.0.9:1883 cannot be reached: nobody.')
  broker.isThere = true
  await clock.run(7)
  const lines = taken()
  expect(lines[0]).toBe(HERE)
  expect(lines.slice(1).map((line) => JSON.parse(line.slice(14)).value)).toEqual([1, 2, 3])
  expect(tap.standing()).toMatchObject({ waiting: 0, sent: 3, trouble: null })
})

test('of what waits for a broker that stays away the oldest is left out and counted', async () => {
  const { clock, broker, tap, hear } = makeTap()
  broker.isThere = false
  await clock.run(0.1)
  broker.breakOff()
  for (let value = 0; value < 1200; value++) hear(value)
  expect(tap.standing()).toMatchObject({ waiting: 1000, dropped: 200 })
})

test('a broker that takes and never answers is broken off, and the message is sent again', async () => {
  const { clock, broker, tap, hear, taken } = makeTap({ retain: false })
  await clock.run(0.1)
  taken()
  broker.isDumb = true
  hear(1)
  await clock.run(5)
  expect(broker.tries).toBe(1)
  broker.isDumb = false
  await clock.run(8)
  expect(taken().filter((line) => line.startsWith('shop/bender-1 {'))).toHaveLength(1)
  expect(broker.tries).toBe(2)
  expect(tap.standing()).toMatchObject({ sent: 1, waiting: 0, trouble: null })
})

test('taking leave sends what waits, says that it is gone, and leaves no timer', async () => {
  const { clock, broker, tap, hear, taken } = makeTap()
  await clock.run(0.1)
  hear(1)
  await tap.close()
  expect(taken().slice(-2)).toEqual([GONE, 'leave'])
  expect(clock.waiting()).toBe(0)
  const { tries } = broker
  await clock.run(60)
  expect(broker.tries).toBe(tries)
})

test('user and password come from the variable that is named, and a colon may stand in the password', async () => {
  const { clock, broker } = makeTap({ login: 'OVERBEND_BROKER' }, { OVERBEND_BROKER: 'bender:a:b' })
  await clock.run(0.1)
  expect(broker.told[0]?.login).toEqual({ user: 'bender', password: 'a:b' })
})

test.each([{}, { OVERBEND_BROKER: '' }, { OVERBEND_BROKER: 'secret' }, { OVERBEND_BROKER: ':x' }])(
  'without them nobody is asked, and what is said holds no secret: %j',
  async (env) => {
    const { clock, broker, tap } = makeTap({ login: 'OVERBEND_BROKER' }, env)
    await clock.run(10)
    expect(broker.told).toEqual([])
    expect(tap.standing().trouble).toBe(
      "The daemon's environment has no OVERBEND_BROKER with user:password: start the daemon with it.",
    )
  },
)
