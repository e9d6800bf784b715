import { describe, expect, test } from 'vitest'
import { makeAnnouncer } from '../../../../server/link/announcer.ts'
import type { Link } from '../../../../server/link/link.ts'
import type { Wire, WireChoice } from '../../../../server/messages/wire.ts'
import { makeWireDesk } from '../../../../server/station/wire-desk.ts'
import { Refused } from '../../../../server/web/station-door.ts'

const NUMBER: WireChoice = {
  ...{ kind: 'serial', path: '/dev/x', baud: 9600, dialect: 'number' },
  options: {},
}
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

function makeDesk({ speed = 1, isMidBend = false } = {}) {
  const made: { wire: Wire; speak: ReturnType<typeof makeFakeLink>['speak'] }[] = []
  const remembered: WireChoice[] = []
  const desk = makeWireDesk({
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
  return { desk, made, remembered }
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
