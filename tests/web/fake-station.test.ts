import { Compile } from 'typebox/compile'
import { describe, expect, test } from 'vitest'
import { NewBend } from '../../server/messages/bends.ts'
import { LiveMessage, PHASES } from '../../server/messages/live.ts'
import { Refused } from '../../server/web/station-door.ts'
import { FAULTS } from '../support/fake-state.ts'
import { makeFakeStation } from '../support/fake-station.ts'

const isMessage = Compile(LiveMessage)
const isBend = Compile(NewBend)

/** What the tests of the web and of the pages lean on must itself keep the contracts. */
describe('the fake station', () => {
  test.each([1, 2, 3])('with seed %i says only what the messages allow', (seed) => {
    const station = makeFakeStation({ seed })
    const wrong: unknown[] = []
    station.subscribe((message) => isMessage.Check(message) || wrong.push(message))
    station.step(4000)
    for (const fault of FAULTS) {
      station.fault(fault)
      station.step(20)
    }
    expect(isMessage.Check(station.hello())).toBe(true)
    expect(wrong).toEqual([])
  })

  test('goes through every phase and every cue but the last, bend after bend', () => {
    const station = makeFakeStation()
    const phases: string[] = []
    const cues = new Set<string>()
    station.subscribe((message) => {
      if (message.type !== 'state') return
      const { phase, cue } = message.state
      if (phases.at(-1) !== phase) phases.push(phase)
      cues.add(cue)
    })
    station.step(2402)
    expect(phases.slice(0, 6)).toEqual([...PHASES.slice(1), 'no-datum'])
    expect(phases.slice(6, 12)).toEqual(phases.slice(0, 6))
    expect([...cues]).toEqual(expect.arrayContaining(['none', 'bend', 'ease', 'stop']))
  })

  test('records bends that the contract allows, and whose traces it keeps', async () => {
    const station = makeFakeStation()
    station.step(6100)
    expect(station.history.count()).toBe(5)
    for (let id = 1; id <= 5; id++) {
      const bend = station.history.bend(id)
      const { setup, tube, job } = bend ?? {}
      expect(setup && tube && job).toBeTruthy()
      expect((await station.trace(id))?.tS.length).toBe(bend?.rawLines)
      expect(bend?.piece).toBe(id)
    }
    expect(await station.trace(6)).toBeNull()
  })

  test('hands the history nothing but a new bend', () => {
    const station = makeFakeStation()
    const given: unknown[] = []
    const append = station.history.append
    station.history.append = (bend, raw) => {
      given.push(bend)
      return append(bend, raw)
    }
    station.step(2500)
    expect(given).toHaveLength(2)
    expect(given.map((bend) => isBend.Check(bend))).toEqual([true, true])
  })

  test('is the same each time, for one seed', () => {
    const run = (seed: number) => {
      const station = makeFakeStation({ seed })
      const said: unknown[] = []
      station.subscribe((message) => said.push(message))
      station.step(1300)
      return JSON.stringify(said)
    }
    expect(run(5)).toBe(run(5))
    expect(run(5)).not.toBe(run(6))
  })

  test('comes nearer to the wanted angle from bend to bend', () => {
    const station = makeFakeStation()
    station.step(12 * 1201)
    const error = (id: number) => Math.abs((station.history.bend(id)?.releasedDeg ?? 0) - 90)
    expect(error(12)).toBeLessThan(error(1))
    expect(station.history.bend(1)?.verdict).toBe('under')
    expect(station.history.bend(12)?.verdict).toBe('in')
  })

  test('attended, waits for datum and for accept, and takes a second go', () => {
    const station = makeFakeStation({ auto: false })
    const phase = () => station.state().phase
    station.step(1000)
    expect(phase()).toBe('no-datum')
    station.act({ act: 'pedal' })
    expect(phase()).toBe('seated')
    station.step(2000)
    expect(phase()).toBe('settled')
    expect(station.state().result?.againDeg).toBeGreaterThan(90)
    station.act({ act: 'again' })
    expect(phase()).toBe('bending')
    expect(station.state().goNumber).toBe(2)
    station.step(2000)
    station.act({ act: 'pedal' })
    expect(station.history.bend(1)).toMatchObject({ hits: 2, closedBy: 'accepted' })
    expect(station.state().result).toMatchObject({ bendId: 1 })
  })

  test('a bend given up is recorded as incomplete', () => {
    const station = makeFakeStation({ auto: false })
    station.act({ act: 'datum' })
    station.step(300)
    station.act({ act: 'abandon' })
    expect(station.history.bend(1)).toMatchObject({ verdict: 'incomplete', learned: 'no' })
  })

  test.each(['accept', 'again', 'abandon'] as const)('refuses %s before a bend', (act) => {
    const station = makeFakeStation({ auto: false })
    expect(() => station.act({ act })).toThrow(Refused)
    expect(station.acts).toEqual([])
  })

  test.each(['silent', 'garbled', 'lost'] as const)('%s: no sample comes', (fault) => {
    const station = makeFakeStation()
    station.fault(fault)
    const said: string[] = []
    station.subscribe(({ type }) => said.push(type))
    station.step(100)
    expect(said).toEqual([])
    station.fault(null)
    station.step(1)
    expect(said).toEqual(['state', 'samples'])
  })
})
