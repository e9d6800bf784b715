import { describe, expect, it } from 'vitest'
import type { Prompt } from '../../../../firmware-protocol/bench/prompt.ts'
import { decodeLine } from '../../../../firmware-protocol/codec/decode.ts'
import { encodeSentence } from '../../../../firmware-protocol/codec/encode.ts'
import { makeBenchLink } from '../../../../server/link/bench-link.ts'
import type { ReceivedLine } from '../../../../server/link/link.ts'
import { makeSimulatedClock } from '../../../support/simulated-clock.ts'

const BEND: Prompt = { phase: 'bending', cue: 'bend', verdict: null, againDeg: null, hasJob: true }

function make(seed = 1) {
  const clock = makeSimulatedClock()
  const link = makeBenchLink({ clock, seed })
  const lines: ReceivedLine[] = []
  link.onLines((batch) => {
    expect(batch.length).toBeGreaterThan(0)
    lines.push(...batch)
  })
  return { clock, link, lines }
}

const kinds = (lines: readonly ReceivedLine[]): string[] =>
  lines.map(({ text }) => {
    const decoded = decodeLine(text)
    return decoded.ok ? decoded.sentence.kind : decoded.reason
  })

describe('the bench as a link', () => {
  it('is opening, live and closed like any other', async () => {
    const { clock, link, lines } = make()
    const states: string[] = []
    link.onState(({ state }) => states.push(state))
    expect(link.state()).toMatchObject({ state: 'opening', source: 'built-in bench' })
    clock.advance(5)
    expect(lines).toEqual([])
    link.open()
    clock.advance(1)
    await link.close()
    expect(states).toEqual(['live', 'closed'])
    expect(clock.waiting()).toBe(0)
  })

  it('gives 200 samples a second, each with its arrival on the clock', () => {
    const { clock, link, lines } = make()
    link.open()
    clock.advance(10)
    const samples = kinds(lines).filter((kind) => kind === 'sample').length
    expect(samples).toBeGreaterThanOrEqual(1999)
    expect(samples).toBeLessThanOrEqual(2000)
    expect(lines[0]!.arrivalS).toBeCloseTo(1000.005, 6)
    for (let at = 1; at < lines.length; at++)
      expect(lines[at]!.arrivalS).toBeGreaterThanOrEqual(lines[at - 1]!.arrivalS)
  })

  it('opened twice is opened once', () => {
    const { clock, link, lines } = make()
    link.open()
    link.open()
    clock.advance(1)
    expect(kinds(lines).filter((kind) => kind === 'sample').length).toBeLessThanOrEqual(200)
  })

  it('takes commands while it is open, and only then', async () => {
    const { clock, link, lines } = make()
    const identify = encodeSentence({ kind: 'identify', command: 3 })
    expect(link.send(identify)).toBe(false)
    link.open()
    clock.advance(0.1)
    lines.length = 0
    expect(link.send(identify)).toBe(true)
    clock.advance(0.005)
    expect(kinds(lines).slice(0, 2)).toEqual(['answer', 'hello'])
    await link.close()
    expect(link.send(identify)).toBe(false)
  })

  it('catches up with a stall of a second, and leaves samples out after a longer one', () => {
    const { clock, link, lines } = make()
    link.open()
    clock.advance(0.1)
    const stall = (seconds: number): string[] => {
      lines.length = 0
      const nowS = clock.nowS
      clock.nowS = () => nowS() + seconds
      clock.advance(0.005)
      clock.nowS = nowS
      return kinds(lines)
    }
    expect(stall(1).filter((kind) => kind === 'sample').length).toBeGreaterThan(195)
    const long = makeLongStall()
    expect(long).toBeGreaterThan(380)
    expect(long).toBeLessThan(420)
  })

  function makeLongStall(): number {
    const { clock, link, lines } = make(2)
    link.open()
    clock.advance(0.1)
    lines.length = 0
    const nowS = clock.nowS
    clock.nowS = () => nowS() + 3600
    clock.advance(0.005)
    return kinds(lines).filter((kind) => kind === 'sample').length
  }

  it('runs by itself, changes lots, and lets a person take the ram', () => {
    const { clock, link } = make()
    link.open()
    expect(link.benchState()).toEqual({
      mode: 'self',
      ram: 'hold',
      lot: 'RT-2207',
      ready: false,
    })
    link.useLot('RT-2231')
    link.act({ mode: 'hand' })
    link.act({ ram: 'advance' })
    expect(link.benchState()).toMatchObject({ mode: 'hand', ram: 'advance', lot: 'RT-2231' })
    link.act({ mode: 'self' })
    link.show(BEND)
    clock.advance(10)
    expect(link.truth()).toBeNull()
    link.show({ ...BEND, cue: 'stop' })
    clock.advance(5)
    expect(link.truth()).toMatchObject({ lot: 'RT-2231', piece: 1 })
  })

  it('is the same in every line for the same seed', () => {
    const record = (): string[] => {
      const { clock, link, lines } = make(7)
      link.open()
      link.show(BEND)
      clock.advance(8)
      return lines.map(({ arrivalS, text }) => `${arrivalS} ${text}`)
    }
    expect(record()).toEqual(record())
  })

  it('does not mind being judged', () => {
    const { link } = make()
    link.open()
    link.judged(0, 1_000_000)
    expect(link.state().state).toBe('live')
  })
})
