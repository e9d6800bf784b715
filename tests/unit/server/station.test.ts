import { afterEach, describe, expect, test } from 'vitest'
import type { History } from '../../../server/history/history.ts'
import type { BenchLink } from '../../../server/link/bench-link.ts'
import type { Link } from '../../../server/link/link.ts'
import type { Samples } from '../../../server/messages/live.ts'
import type { Job, Setup } from '../../../server/messages/setup.ts'
import { firstAim } from '../../../server/station/coach.ts'
import { makeLead } from '../../../server/station/lead.ts'
import { parseRawLine } from '../../../server/station/raw-log.ts'
import { makeShop } from '../../../server/station/shop.ts'
import { makeRig, type RigOptions } from '../../support/station-rig.ts'

const setup = (change: Partial<Setup> = {}): Setup => ({
  station: 'Bench bender',
  die: { name: 'R114 rail die', odMm: 38.1, clrMm: 114.3 },
  tube: { odMm: 38.1, wallMm: 1.65, material: '316l-annealed', lot: 'RT-1' },
  sensor: { mount: 'die', countsPerTurn: 0, direction: 'forward' },
  ...change,
})
const job = (change: Partial<Job> = {}): Job => ({
  part: 'rail',
  piece: 1,
  bendNumber: 1,
  wantedDeg: 20,
  toleranceDeg: 1,
  operator: 'N',
  ...change,
})

const rigs: { close(): Promise<void> }[] = []
afterEach(async () => {
  for (const rig of rigs.splice(0)) await rig.close()
})

/** A station whose bender is worked by hand. */
function start(options: Omit<RigOptions, 'seed'> = {}) {
  const rig = makeRig({ seed: 7, ...options })
  rigs.push(rig)
  const { station, clock } = rig
  const samples: Samples[] = []
  station.subscribe((message) => {
    if (message.type === 'samples') samples.push(message)
  })
  station.start()
  station.bench({ mode: 'hand' })
  clock.advance(2)
  return {
    ...rig,
    samples,
    angleDeg: () => samples.at(-1)?.angleDeg.at(-1) ?? Number.NaN,
    until(ram: 'advance' | 'retract', isThere: () => boolean) {
      station.bench({ ram })
      for (let tick = 0; tick < 2000 && !isThere(); tick++) clock.advance(0.02)
      expect(isThere()).toBe(true)
      station.bench({ ram: 'hold' })
    },
  }
}

/** Takes the slack up, waits, bends to an angle and lets off. */
function bendTo(bender: ReturnType<typeof start>, stopDeg: number, waitS = 1) {
  const { station, clock } = bender
  // A new tube is put in first.
  clock.advance(5)
  station.act({ act: 'datum' })
  clock.advance(waitS)
  bender.until('advance', () => bender.angleDeg() > stopDeg)
  clock.advance(1)
  bender.until('retract', () => station.state().phase === 'settled')
}

describe('a bend that is given up', () => {
  test.each([
    { when: 'under load', settles: false, verdict: 'incomplete' },
    { when: 'after it was let off', settles: true, verdict: 'in' },
  ])('$when is on record, teaches nothing, and is made again under its number', (given) => {
    const bender = start()
    const { station, clock, history } = bender
    station.useSetup(setup())
    station.useJob(job({ toleranceDeg: 20 }))
    const aim = station.state().aim
    if (given.settles) bendTo(bender, 21)
    else {
      clock.advance(5)
      station.act({ act: 'datum' })
      clock.advance(1)
      bender.until('advance', () => bender.angleDeg() > 12)
    }
    station.act({ act: 'abandon' })
    expect(history.bend(1)).toMatchObject({
      closedBy: 'abandoned',
      verdict: given.verdict,
      learned: 'no',
      notLearnedWhy: 'The bend was abandoned.',
    })
    expect(station.state().job?.bendNumber).toBe(1)
    expect(station.state().aim).toEqual(aim)
  })
})

describe('the trace of a bend in hand', () => {
  test('holds the whole of it, more coarsely the longer it takes', () => {
    const bender = start()
    const { station, clock } = bender
    station.useSetup(setup())
    station.useJob(job())
    bendTo(bender, 21)
    const short = station.hello().trace
    clock.advance(300)
    const long = station.hello().trace
    expect(long.tS.length).toBeLessThanOrEqual(6000)
    expect(long.tS[0]).toBe(short.tS[0])
    expect(station.hello().nowS - (long.tS.at(-1) ?? 0)).toBeLessThan(0.2)
    expect(Math.max(...long.angleDeg)).toBeGreaterThan(20.5)
  })
})

describe('zero that is taken again before the bend', () => {
  test('is what the times of a go count from, and the state says when it was', () => {
    const bender = start()
    const { station, clock, samples } = bender
    station.useSetup(setup())
    station.useJob(job())
    expect(station.state().datumS).toBeNull()
    clock.advance(5)
    station.act({ act: 'datum' })
    const firstS = station.state().datumS ?? Number.NaN
    clock.advance(40)
    bendTo(bender, 21)
    const { datumS, result } = station.state()
    expect(datumS).toBeGreaterThan(firstS + 40)
    const angles = samples.flatMap(({ angleDeg }) => angleDeg)
    const peakDeg = Math.max(...angles)
    const peakS = samples.flatMap(({ tS }) => tS)[angles.indexOf(peakDeg)] ?? Number.NaN
    // The die creeps on under a held load: the peak is where it stood longest.
    expect(Math.abs((datumS ?? 0) + (result?.go.peakAtS ?? 0) - peakS)).toBeLessThan(2)
  })
})

describe('another set-up', () => {
  test('with another sensor takes the datum with it, and says so', () => {
    const { station, clock } = start()
    station.useSetup(setup())
    station.useJob(job())
    station.act({ act: 'datum' })
    clock.advance(1)
    expect(station.state().phase).toBe('seated')
    station.useSetup(setup({ sensor: { mount: 'die', countsPerTurn: 0, direction: 'reversed' } }))
    clock.advance(1)
    expect(station.state().phase).toBe('no-datum')
  })

  test('with the sensor as the board says leaves the running chain alone', () => {
    const deaf = (bench: BenchLink): Link => ({ ...bench, send: () => false })
    const { station, clock, samples } = start({ throughLink: deaf })
    expect(samples.length).toBeGreaterThan(0)
    station.useSetup(setup())
    const before = samples.length
    clock.advance(1)
    expect(samples.length).toBeGreaterThan(before)
  })

  test('for which no angle is known takes the one before back: no stop is called at it', () => {
    const bender = start()
    const { station } = bender
    station.useSetup(setup())
    station.useJob(job({ wantedDeg: 10 }))
    station.useSetup(
      setup({
        die: { name: 'wide', odMm: 38.1, clrMm: 5000 },
        tube: { odMm: 3, wallMm: 0.2, material: '6061-t6', lot: 'RT-1' },
      }),
    )
    expect(station.state().aim).toBeNull()
    station.act({ act: 'datum' })
    bender.until('advance', () => bender.angleDeg() > 18)
    expect(new Set(bender.samples.map(({ cue }) => cue))).toEqual(new Set(['none']))
  })
})

test('a board that was deaf at first is asked again until it has said its counts', () => {
  let isDeaf = true
  const late = (bench: BenchLink): Link => ({
    ...bench,
    send: (line) => !isDeaf && bench.send(line),
    onLines: (listener) => bench.onLines((lines) => isDeaf || listener(lines)),
  })
  const { clock, samples } = start({ throughLink: late })
  expect(samples).toEqual([])
  isDeaf = false
  clock.advance(3)
  expect(samples.length).toBeGreaterThan(0)
})

describe('a tube that takes no set', () => {
  test('may be bent and let off all the same: there is nowhere to go again, and nothing fails', () => {
    const bender = start()
    const { station } = bender
    station.useSetup(
      setup({
        die: { name: 'wide', odMm: 38.1, clrMm: 5000 },
        tube: { odMm: 3, wallMm: 0.2, material: '6061-t6', lot: 'RT-1' },
      }),
    )
    station.useJob(job({ wantedDeg: 90 }))
    bendTo(bender, 20)
    expect(station.state().result).toMatchObject({ verdict: 'under', againDeg: null })
  })
})

describe('the trace of a stored bend', () => {
  const partsOf = async ({ station, history }: ReturnType<typeof start>) => {
    const trace = await station.trace(1)
    const bend = history.bend(1)
    if (trace === null || bend === null) throw new Error('no bend was stored')
    return { trace, bend, lines: history.raw(1)?.lines.map(parseRawLine) ?? [] }
  }

  test('is whole though its datum is older than its lines', async () => {
    const bender = start()
    bender.station.useSetup(setup())
    bender.station.useJob(job())
    bendTo(bender, 22, 60)
    bender.station.act({ act: 'accept' })
    const { trace, bend, lines } = await partsOf(bender)
    expect(lines.some((line) => line?.text === 'datum')).toBe(false)
    expect(Math.max(...trace.angleDeg)).toBeCloseTo(bend.peakDeg ?? 0, 0)
    expect(trace.tS[0]).toBeGreaterThan(30)
  })

  test('is whole though another datum closed it', async () => {
    const bender = start()
    bender.station.useSetup(setup())
    bender.station.useJob(job())
    bendTo(bender, 22)
    bender.station.act({ act: 'datum' })
    const { trace, bend } = await partsOf(bender)
    expect(bend.closedBy).toBe('next datum')
    expect(Math.max(...trace.angleDeg)).toBeCloseTo(bend.peakDeg ?? 0, 0)
    expect(trace.tS[0]).toBeLessThan(0.1)
  })
})

test('a go measured better keeps the angle it was told, not the one to go to next', async () => {
  const bender = start()
  const { station, clock } = bender
  station.useSetup(setup())
  station.useJob(job({ wantedDeg: 40 }))
  const first = station.state().aim?.commandedDeg
  bendTo(bender, 22)
  clock.advance(5)
  const { result, aim } = station.state()
  expect(result?.go.commandedDeg).toBe(first)
  expect(aim?.commandedDeg).toBe(result?.againDeg)
})

test('the number of a bend stops where a record would be refused', async () => {
  const bender = start()
  const { station } = bender
  station.useSetup(setup())
  station.useJob(job({ bendNumber: 999 }))
  for (const bends of [1, 2]) {
    bendTo(bender, 22)
    station.act({ act: 'accept' })
    expect(bender.history.count()).toBe(bends)
  }
  expect(station.state().job?.bendNumber).toBe(999)
  expect(station.state().notices).toEqual([])
})

test('a board that says it is simulated is aimed at from simulated bends alone', async () => {
  const taught = { setupId: 1, peakDeg: 21 }
  const lessons = () => [
    { ...taught, id: 1, springbackDeg: 1, simulated: false },
    { ...taught, id: 2, springbackDeg: 3, simulated: true },
  ]
  const throughHistory = (history: History): History => ({ ...history, lessons })
  const rig = makeRig({ seed: 7, isBoard: true, throughHistory })
  rigs.push(rig)
  const { station, clock, history } = rig
  history.addSetup(setup())
  station.start()
  const stored = station.useSetup(setup())
  station.useJob(job())
  const aims = () => station.state().aim?.commandedDeg
  const aimOf = (simulated: boolean) =>
    firstAim(
      makeShop({ lessons, setups: () => [stored], decisions: () => [], voided: () => [] }).know(
        stored,
        simulated,
      ),
      job(),
      makeLead(history).now().stopSdDeg,
    ).commandedDeg
  expect(station.state().simulated).toBe(false)
  expect(aims()).toBe(aimOf(false))
  clock.advance(2)
  expect(station.state().simulated).toBe(true)
  expect(aims()).toBe(aimOf(true))
  expect(aimOf(true)).not.toBe(aimOf(false))
})

describe('going again', () => {
  const shortBend = () => {
    const bender = start()
    bender.station.useSetup(setup())
    bender.station.useJob(job({ toleranceDeg: 0.5 }))
    bendTo(bender, 12)
    expect(bender.station.state().result).toMatchObject({ verdict: 'under', goingAgain: false })
    return bender
  }

  test.each(['again', 'pedal'] as const)('is shown from when it is said by %s', (act) => {
    const { station, clock } = shortBend()
    station.act({ act })
    expect(station.state().result?.goingAgain).toBe(true)
    clock.advance(5)
    expect(station.state()).toMatchObject({ phase: 'settled', result: { goingAgain: true } })
  })

  test('is over when that go has settled', () => {
    const bender = shortBend()
    bender.station.act({ act: 'again' })
    bender.until('advance', () => bender.angleDeg() > 14)
    bender.clock.advance(1)
    bender.until('retract', () => bender.station.state().phase === 'settled')
    expect(bender.station.state()).toMatchObject({ goNumber: 2, result: { goingAgain: false } })
  })
})
