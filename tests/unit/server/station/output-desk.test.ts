import { describe, expect, test } from 'vitest'
import { decodeLine } from '../../../../firmware-protocol/codec/decode.ts'
import type { Cue } from '../../../../server/messages/live.ts'
import type { OutputName } from '../../../../server/messages/output.ts'
import { OutputDesk } from '../../../../server/station/output-desk.ts'
import { makeSimulatedClock } from '../../../support/simulated-clock.ts'

function makeDesk() {
  const clock = makeSimulatedClock()
  const moment = { cue: 'none' as Cue, isLive: true, isNative: true }
  const sent: { atS: number; text: string; command: number }[] = []
  const desk = new OutputDesk({
    clock,
    send(line) {
      const decoded = decodeLine(line.trimEnd())
      if (!decoded.ok) throw new Error(`not a sentence: ${line}`)
      const { sentence } = decoded
      if (!('command' in sentence)) throw new Error(`not a command: ${line}`)
      const text =
        sentence.kind === 'set-output'
          ? `${sentence.output} ${sentence.on ? `on ${sentence.timeToLiveMs}` : 'off'}`
          : sentence.kind
      sent.push({ atS: clock.nowS(), text, command: sentence.command })
      return true
    },
    moment: () => moment,
    changed: () => undefined,
  })
  return {
    desk,
    clock,
    moment,
    arm: (output: OutputName) => desk.arm({ output, understood: true }),
    /** Time goes on while the page keeps it armed. */
    live(seconds: number) {
      for (let s = 0; s < seconds; s += 0.5) {
        clock.advance(0.5)
        desk.keep()
      }
    },
    said: () => sent.splice(0).map(({ text }) => text),
    sent,
  }
}

describe('an output', () => {
  test('that nobody armed is never spoken of', () => {
    const { desk, clock, moment, said } = makeDesk()
    moment.cue = 'stop'
    desk.follow()
    clock.advance(5)
    expect(said()).toEqual([])
    expect(desk.state()).toEqual({ armed: null, follows: null, isOn: false, trouble: null })
  })

  test('goes on at the stop, is kept on by heartbeats, and off when the load comes off', () => {
    const { desk, moment, arm, live, said } = makeDesk()
    arm('buzzer')
    live(1)
    expect(said()).toEqual([])
    moment.cue = 'stop'
    desk.follow()
    expect(said()).toEqual(['buzzer on 500'])
    live(1)
    const beats = said()
    expect(new Set(beats)).toEqual(new Set(['heartbeat']))
    // Two lost in a row must not let it fall: three at least in each half second.
    expect(beats.length).toBeGreaterThanOrEqual(5)
    moment.cue = 'none'
    desk.follow()
    expect(said()).toEqual(['buzzer off'])
    live(1)
    expect(said()).toEqual([])
  })

  test('as a relay falls at the stop and stays down until the operator speaks', () => {
    const { desk, moment, arm, live, said } = makeDesk()
    arm('relay')
    expect(said()).toEqual(['relay on 500'])
    moment.cue = 'stop'
    desk.follow()
    expect(said()).toEqual(['relay off'])
    moment.cue = 'none'
    live(2)
    expect(said()).toEqual([])
    desk.operatorSpoke()
    live(0.5)
    expect(said()[0]).toBe('relay on 500')
  })

  test('is disarmed when its page says no more, and only a person arms it again', () => {
    const { desk, clock, arm, said } = makeDesk()
    arm('relay')
    clock.advance(2.9)
    expect(desk.state().armed).toBe('relay')
    clock.advance(0.2)
    expect(said().at(-1)).toBe('relay off')
    expect(desk.state()).toMatchObject({
      armed: null,
      isOn: false,
      trouble: expect.stringMatching(/page/),
    })
    expect(() => desk.keep()).toThrow('the page that armed it is gone')
    clock.advance(10)
    expect(said()).toEqual([])
  })

  test.each([
    ['no angle arrives', (made: ReturnType<typeof makeDesk>) => (made.moment.isLive = false)],
    [
      'the board refuses it',
      ({ desk, sent }: ReturnType<typeof makeDesk>) =>
        desk.answered({
          kind: 'answer',
          command: sent[0]?.command ?? -1,
          ok: false,
          reason: 'not supported',
        }),
    ],
    ['the chain was changed', ({ desk }: ReturnType<typeof makeDesk>) => desk.disarm('… changed.')],
  ])('falls when %s', (_, happen) => {
    const made = makeDesk()
    made.arm('relay')
    happen(made)
    made.clock.advance(0.2)
    expect(made.said().at(-1)).toBe('relay off')
    expect(made.desk.state().armed).toBeNull()
    expect(made.desk.state().trouble).not.toBeNull()
  })

  test('an answer to another command, or a good one, changes nothing', () => {
    const { desk, arm, sent } = makeDesk()
    arm('relay')
    desk.answered({ kind: 'answer', command: 1, ok: false, reason: 'busy' })
    desk.answered({ kind: 'answer', command: sent[0]?.command ?? -1, ok: true, reason: '' })
    expect(desk.state().armed).toBe('relay')
  })

  test.each([
    [{ isLive: false }, 'No angle arrives'],
    [{ isNative: false }, 'native protocol'],
  ])('is not armed at %j', (change, why) => {
    const { moment, arm, said } = makeDesk()
    Object.assign(moment, change)
    expect(() => arm('buzzer')).toThrow(why)
    expect(said()).toEqual([])
  })

  test('another one in its place: the first is told to be off', () => {
    const { arm, desk, said } = makeDesk()
    arm('relay')
    arm('lamp')
    expect(said()).toEqual(['relay on 500', 'relay off'])
    expect(desk.state().armed).toBe('lamp')
  })
})
