import { describe, expect, test } from 'vitest'
import { decodeLine } from '../../../../../firmware-protocol/codec/decode.ts'
import type { Cue } from '../../../../../server/messages/live.ts'
import type { OutputName } from '../../../../../server/messages/output.ts'
import { OutputDesk } from '../../../../../server/station/output-desk.ts'
import { makeSimulatedClock } from '../../../../support/simulated-clock.ts'

function makeDesk() {
  const clock = makeSimulatedClock()
  const moment = { cue: 'none' as Cue, isLive: true, isNative: true }
  const board = { answers: true, reason: '' }
  const sent: string[] = []
  const desk = new OutputDesk({
    clock,
    send(line) {
      const decoded = decodeLine(line.trimEnd())
      if (!decoded.ok || !('command' in decoded.sentence)) throw new Error(`no command: ${line}`)
      const { sentence } = decoded
      const { command } = sentence
      if (sentence.kind !== 'set-output') return true
      const { output, on, timeToLiveMs } = sentence
      sent.push(on ? `${output} on ${timeToLiveMs}` : `${output} off`)
      const { reason } = board
      if (board.answers)
        clock.after(0.01, () =>
          desk.answered({ kind: 'answer', command, ok: reason === '', reason }),
        )
      return true
    },
    moment: () => moment,
    changed: () => undefined,
  })
  const ask = (output: OutputName, more: { lifeS?: number; on?: boolean; timeS?: number } = {}) =>
    desk.chain.hear({
      ...{ type: 'switch', block: 'mine', output, on: true, lifeS: 0.5, timeS: clock.nowS() },
      ...more,
    })
  return { clock, moment, board, desk, ask, said: () => sent.splice(0) }
}

describe('a buzzer or lamp that the chain asks for', () => {
  test('is on for its time to live, which the board knows, and told off at its end', () => {
    const { clock, desk, ask, said } = makeDesk()
    ask('lamp')
    expect(said()).toEqual(['lamp on 500'])
    clock.advance(0.45)
    expect(said()).toEqual([])
    clock.advance(0.1)
    expect(said()).toEqual(['lamp off'])
    clock.advance(10)
    expect(said()).toEqual([])
    expect(clock.waiting()).toBe(0)
    expect(desk.chain.standing('mine')).toMatchObject({ sent: 1, dropped: 0, trouble: null })
  })

  test('stays on as long as it is asked for again, and goes off when that ends', () => {
    const { clock, ask, said } = makeDesk()
    for (let nth = 0; nth < 6; nth++) {
      ask('buzzer')
      clock.advance(0.2)
    }
    expect(said()).toEqual(Array(6).fill('buzzer on 500'))
    ask('buzzer', { on: false })
    expect(said()).toEqual(['buzzer off'])
  })

  test('two blocks may want one: it is off when neither does', () => {
    const { clock, desk, ask, said } = makeDesk()
    ask('lamp', { lifeS: 0.3 })
    const timeS = clock.nowS()
    desk.chain.hear({ type: 'switch', block: 'other', output: 'lamp', on: true, lifeS: 1, timeS })
    expect(said()).toEqual(['lamp on 300', 'lamp on 1000'])
    ask('lamp', { on: false })
    clock.advance(0.9)
    expect(said()).toEqual([])
    clock.advance(0.2)
    expect(said()).toEqual(['lamp off'])
  })

  test('what comes too late is not done, and a time that runs ahead buys no longer life', () => {
    const { clock, desk, ask, said } = makeDesk()
    ask('lamp', { timeS: clock.nowS() - 0.6 })
    expect(said()).toEqual([])
    expect(desk.chain.standing('mine')).toMatchObject({ sent: 0, dropped: 1 })
    expect(desk.chain.standing('mine').trouble).toContain('too late')
    ask('lamp', { timeS: clock.nowS() + 100 })
    expect(said()).toEqual(['lamp on 500'])
    clock.advance(0.6)
    expect(said()).toEqual(['lamp off'])
  })

  test('a line that is not answered is told again, so many times', () => {
    const { clock, board, ask, said } = makeDesk()
    board.answers = false
    ask('lamp', { lifeS: 0.1 })
    clock.advance(10)
    const lines = said()
    expect(lines[0]).toBe('lamp on 100')
    expect(lines.slice(1)).toEqual(Array(5).fill('lamp off'))
    expect(clock.waiting()).toBe(0)
  })

  test('a board that has none says so', () => {
    const { clock, board, desk, ask } = makeDesk()
    board.reason = 'not supported'
    ask('lamp')
    clock.advance(0.1)
    expect(desk.chain.standing('mine').trouble).toBe('The board refuses the lamp (not supported).')
  })

  test.each([
    [{ isLive: false }, 'No angle arrives'],
    [{ isNative: false }, 'native protocol'],
  ])('is not switched at %j', (change, why) => {
    const { clock, moment, desk, ask, said } = makeDesk()
    Object.assign(moment, change)
    ask('buzzer')
    clock.advance(1)
    expect(said()).toEqual([])
    expect(desk.chain.standing('mine')).toMatchObject({
      dropped: 1,
      trouble: expect.stringContaining(why),
    })
  })

  test('is off with the chain that asked for it', () => {
    const { clock, desk, ask, said } = makeDesk()
    ask('lamp', { lifeS: 2 })
    said()
    desk.chain.release()
    expect(said()).toEqual(['lamp off'])
    clock.advance(3)
    expect(said()).toEqual([])
  })
})

describe('an armed output is its own', () => {
  test('the buzzer of the stop cue follows the cue alone, whatever the chain asks', () => {
    const { clock, moment, desk, ask, said } = makeDesk()
    ask('buzzer', { lifeS: 2 })
    expect(said()).toEqual(['buzzer on 2000'])
    desk.arm({ output: 'buzzer', understood: true })
    expect(said()).toEqual(['buzzer off'])
    ask('buzzer', { lifeS: 2 })
    clock.advance(1)
    expect(said()).toEqual([])
    moment.cue = 'stop'
    desk.follow()
    expect(said()).toEqual(['buzzer on 500'])
    ask('buzzer', { on: false })
    clock.advance(1)
    expect(said()).toEqual([])
    expect(desk.state()).toMatchObject({ armed: 'buzzer', follows: 'stop-cue', isOn: true })
  })

  test('a relay that fell at the stop stays down, whatever the chain asks', () => {
    const { clock, moment, desk, ask, said } = makeDesk()
    desk.arm({ output: 'relay', understood: true })
    moment.cue = 'stop'
    desk.follow()
    expect(said()).toEqual(['relay on 500', 'relay off'])
    moment.cue = 'none'
    for (let nth = 0; nth < 10; nth++) {
      ask('relay')
      clock.advance(0.1)
    }
    expect(said()).toEqual([])
  })

  test('beside an armed relay the chain has the lamp, and heartbeats lengthen no life of it', () => {
    const { clock, desk, ask, said } = makeDesk()
    desk.arm({ output: 'relay', understood: true })
    ask('lamp', { lifeS: 0.3 })
    clock.advance(1)
    expect(said()).toEqual(['relay on 500', 'lamp on 300', 'lamp off'])
  })
})

describe('the relay', () => {
  test('does not move for the chain before a person has armed it', () => {
    const { clock, desk, ask, said } = makeDesk()
    ask('relay')
    clock.advance(1)
    expect(said()).toEqual([])
    expect(desk.chain.standing('mine')).toMatchObject({
      dropped: 1,
      trouble: 'The relay is not armed for the chain: a person arms it on the Sensor page.',
    })
  })

  test('armed for the chain it follows it, with the board’s time to live, and the cue not at all', () => {
    const { clock, moment, desk, ask, said } = makeDesk()
    desk.arm({ output: 'relay', understood: true, follows: 'chain' })
    moment.cue = 'stop'
    clock.advance(0.2)
    expect(said()).toEqual([])
    ask('relay', { lifeS: 0.4 })
    clock.advance(0.06)
    expect(said()).toEqual(['relay on 500'])
    expect(desk.state()).toMatchObject({ armed: 'relay', follows: 'chain', isOn: true })
    clock.advance(0.5)
    expect(said()).toEqual(['relay off'])
    ask('relay')
    clock.advance(0.06)
    expect(said()).toEqual(['relay on 500'])
  })

  test('falls with the page that armed it, in the middle of its life', () => {
    const { clock, desk, ask, said } = makeDesk()
    desk.arm({ output: 'relay', understood: true, follows: 'chain' })
    clock.advance(2.9)
    ask('relay', { lifeS: 2 })
    clock.advance(0.3)
    expect(said().at(-1)).toBe('relay off')
    expect(desk.state()).toMatchObject({ armed: null, follows: null, isOn: false })
    ask('relay', { lifeS: 2 })
    clock.advance(3)
    expect(said()).toEqual([])
  })
})
