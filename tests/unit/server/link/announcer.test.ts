import { describe, expect, it } from 'vitest'
import { makeAnnouncer } from '../../../../server/link/announcer.ts'
import type { ReceivedLine, WireState } from '../../../../server/link/link.ts'

describe('an announcer', () => {
  it('begins with a link that is opening', () => {
    expect(makeAnnouncer('/dev/x').state()).toEqual({
      state: 'opening',
      source: '/dev/x',
      reason: '',
      hint: '',
      overlong: 0,
      reconnects: 0,
    })
  })

  it('tells every listener what is new, and nothing twice', () => {
    const announcer = makeAnnouncer('/dev/x')
    const first: WireState[] = []
    const second: WireState[] = []
    announcer.onState((state) => first.push(state))
    announcer.onState((state) => second.push(state))
    announcer.set({ state: 'live' })
    announcer.set({ state: 'live' })
    announcer.set({ state: 'live', reason: 'no reason' })
    announcer.set({})
    expect(first.map(({ reason }) => reason)).toEqual(['', 'no reason'])
    expect(second).toEqual(first)
  })

  it('keeps counters without telling of each', () => {
    const announcer = makeAnnouncer('/dev/x')
    let told = 0
    announcer.onState(() => told++)
    for (let count = 0; count < 100; count++) announcer.set({ overlong: count })
    expect(told).toBe(0)
    expect(announcer.state().overlong).toBe(99)
  })

  it('hands batches on as they are, and never an empty one', () => {
    const announcer = makeAnnouncer('/dev/x')
    const batches: (readonly ReceivedLine[])[] = []
    announcer.onLines((lines) => batches.push(lines))
    announcer.lines([])
    const batch = [{ arrivalS: 1, text: 'a' }]
    announcer.lines(batch)
    expect(batches).toEqual([batch])
  })
})
