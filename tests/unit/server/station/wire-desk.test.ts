import { describe, expect, test } from 'vitest'
import { makeAnnouncer } from '../../../../server/link/announcer.ts'
import type { Link } from '../../../../server/link/link.ts'
import type { Probed, Wire, WireChoice } from '../../../../server/messages/wire.ts'
import { makeWireDesk } from '../../../../server/station/wire-desk.ts'
import { Refused } from '../../../../server/web/station-door.ts'
import { makeSimulatedClock } from '../../../support/simulated-clock.ts'

const NUMBER: WireChoice = {
  ...{ kind: 'serial', path: '/dev/x', baud: 9600, dialect: 'number' },
  options: {},
}
const HEARD: Probed = { wire: NUMBER, sure: 0.9, sentence: 'Numbers.', tries: [] }
const SCALED: WireChoice = {
  ...{ kind: 'modbus', path: '/dev/x', baud: 9600 },
  options: { unitId: 1, function: 'input', register: 0, registersAs: 'int16', scale: 0 },
}

function makeFakeLink(source: string) {
  const announcer = makeAnnouncer(source)
  const link: Link = {
    ...{ onLines: announcer.onLines, onState: announcer.onState, state: announcer.state },
    ...{ open: () => undefined, close: async () => undefined, send: () => false },
    judged: () => undefined,
  }
  return { link, speak: announcer.lines }
}

interface Given {
  readonly speed?: number
  readonly isMidBend?: boolean
  readonly probe?: () => Promise<Probed>
  readonly isThere?: () => boolean
}

function makeDesk(given: Given = {}) {
  const { speed = 1, isMidBend = false, probe = async () => HEARD, isThere = () => true } = given
  const clock = makeSimulatedClock()
  const made: { wire: Wire; speak: ReturnType<typeof makeFakeLink>['speak'] }[] = []
  const remembered: WireChoice[] = []
  const desk = makeWireDesk({
    ...{ clock, probe, isThere },
    first: { kind: 'bench' },
    make(wire) {
      const { link, speak } = makeFakeLink(wire.kind)
      made.push({ wire, speak })
      return { link, bench: null }
    },
    rewire(swap) {
      if (isMidBend) throw new Refused('not-now', 'The wire cannot change in mid-bend.')
      swap()
    },
    remember: (wire) => remembered.push(wire),
    speed,
  })
  return { desk, made, remembered, clock }
}

test('another wire is in force at once, and remembered', () => {
  const { desk, made, remembered } = makeDesk()
  desk.use(NUMBER)
  expect(desk.wire()).toEqual(NUMBER)
  expect(made.map(({ wire }) => wire)).toEqual([{ kind: 'bench' }, NUMBER])
  expect(remembered).toEqual([NUMBER])
  expect(desk.link.state().source).toBe('serial')
})

describe('refused, with nothing changed', () => {
  test.each([
    ['in mid-bend', NUMBER, { isMidBend: true }, /mid-bend/],
    ['a scale of zero', SCALED, {}, /^options\.scale must not be 0: every angle would be 0\.$/],
    [
      'a sensor while the clock runs faster',
      NUMBER,
      { speed: 5 },
      /5 times as fast.*--bench-speed/,
    ],
  ])('%s', (_, wire, given, says) => {
    const { desk, remembered } = makeDesk(given)
    expect(() => desk.use(wire)).toThrow(says)
    expect(desk.wire()).toEqual({ kind: 'bench' })
    expect(desk.link.state().source).toBe('bench')
    expect(remembered).toEqual([])
  })
})

test('keeps the last 50 lines with what they were taken for, of this wire only', () => {
  const { desk, made } = makeDesk()
  made[0]?.speak([{ arrivalS: 1, text: 'of the bench' }])
  desk.use(NUMBER)
  expect(desk.lines()).toEqual([])
  for (let nth = 0; nth < 60; nth++) made[1]?.speak([{ arrivalS: nth, text: `${nth}.5` }])
  made[1]?.speak([
    { arrivalS: 99, text: 'ÿ' },
    { arrivalS: 99, text: '1' },
  ])
  const lines = desk.lines()
  expect(lines).toHaveLength(50)
  expect(lines[0]).toEqual({ arrivalS: 12, text: '12.5', ok: true, taken: '12.5' })
  expect(lines.at(-2)).toEqual({ arrivalS: 99, text: 'ÿ', ok: false, taken: 'not printable' })
})

describe('listening at a port', () => {
  test('that is free leaves the wire as it is', async () => {
    const { desk, made } = makeDesk()
    expect(await desk.probe('/dev/y')).toEqual(HEARD)
    expect(made).toHaveLength(1)
  })

  test('that is the wire itself lets it go meanwhile, and takes it again', async () => {
    const during: string[] = []
    const { desk, made } = makeDesk({
      probe: async () => {
        during.push(desk.link.state().reason)
        return HEARD
      },
    })
    desk.use(NUMBER)
    await desk.probe('/dev/x')
    expect(during).toEqual(['/dev/x is being listened at.'])
    expect(made.map(({ wire }) => wire.kind)).toEqual(['bench', 'serial', 'serial'])
    expect(desk.link.state().source).toBe('serial')
  })

  test.each([
    { name: 'comes back a moment after it was let go', backS: 0.3, waitedS: [0.3, 0.4] },
    { name: 'never comes back is tried all the same', backS: 99, waitedS: [2, 2.1] },
  ])('that $name', async ({ backS, waitedS: [least = 0, most = 0] }) => {
    let startS = 0
    let triedS = Number.NaN
    const isThere = (): boolean => clock.nowS() >= startS + backS
    const probe = async () => {
      triedS = clock.nowS()
      return HEARD
    }
    const { desk, clock } = makeDesk({ isThere, probe })
    desk.use(NUMBER)
    startS = clock.nowS()
    const probed = desk.probe('/dev/x')
    await clock.run(5)
    expect(await probed).toEqual(HEARD)
    expect(triedS - startS).toBeGreaterThanOrEqual(least - 1e-9)
    expect(triedS - startS).toBeLessThan(most)
  })

  test('that fails takes the wire again all the same', async () => {
    const { desk } = makeDesk({ probe: () => Promise.reject(new Refused('not-now', 'Busy.')) })
    desk.use(NUMBER)
    await expect(desk.probe('/dev/x')).rejects.toThrow('Busy.')
    expect(desk.link.state().source).toBe('serial')
  })

  test('is for one at a time', async () => {
    const { desk } = makeDesk()
    const first = desk.probe('/dev/y')
    await expect(desk.probe('/dev/y')).rejects.toThrow(/being listened at/)
    await first
    await desk.probe('/dev/y')
  })

  test('that is the wire in mid-bend is refused', async () => {
    const given = { isMidBend: false }
    const { desk } = makeDesk()
    desk.use(NUMBER)
    given.isMidBend = true
    const busy = makeDesk({ isMidBend: true })
    await expect(busy.desk.probe('/dev/z')).resolves.toEqual(HEARD)
  })
})
