import { describe, expect, test } from 'vitest'
import { stopLeadFrom } from '../../../../server/bend/stop-lead.ts'
import type { Go, NewBend } from '../../../../server/messages/bends.ts'
import { BENDS_MAX, FIRST_LEAD_S, makeLead } from '../../../../server/station/lead.ts'
import { makeFakeHistory } from '../../../support/fake-history.ts'
import { newBend } from '../history/shop.ts'

const HANDS = { operator: 'A', station: 'Left', simulated: false }

const go = (leadS: number, change: Partial<Go> = {}): Go => ({
  ...newBend(1).goes[0]!,
  cueDeg: 90,
  cueRateDegPerS: 10,
  peakDeg: 90 + 10 * leadS,
  ...change,
})

function bend(goes: readonly Go[], change: Partial<NewBend> & { by?: string } = {}): NewBend {
  const { by = 'A', ...more } = change
  const made = newBend(1)
  return {
    ...made,
    setup: { ...made.setup, station: 'Left' },
    job: { ...made.job, operator: by },
    simulated: false,
    goes: [...goes],
    ...more,
  }
}

const stops = (...leads: number[]) =>
  leads.map((leadS) => ({ cueDeg: 90, rateDegPerS: 10, peakDeg: 90 + 10 * leadS }))

/** As after a restart, over a history that holds these. */
function leadOver(bends: readonly NewBend[], hands = HANDS) {
  const history = makeFakeHistory()
  for (const one of bends) history.append(one, { chain: '', snapshot: '', lines: [] })
  const lead = makeLead(history)
  lead.use(hands)
  return lead
}

describe('the lead of whoever bends', () => {
  test('is the first one until a stop was followed', () => {
    expect(leadOver([]).now()).toEqual({
      ...{ leadS: FIRST_LEAD_S, standardErrorS: 0.1, stopSdDeg: 0.14, stops: 0 },
    })
    expect(FIRST_LEAD_S).toBe(0.2)
  })

  test('is what the history says, every go of every bend', () => {
    const { now } = leadOver([bend([go(0.3), go(0.35)]), bend([go(0.4)])])
    expect(now().stops).toBe(3)
    expect(now().leadS).toBeCloseTo(stopLeadFrom(stops(0.3, 0.35, 0.4)).leadS, 6)
  })

  test('bend by bend comes to the same digits as read from the history, whatever lies between', () => {
    const bends = Array.from({ length: 150 }, (_, nth) => {
      const leads = nth % 7 === 0 ? [] : nth % 5 === 0 ? [0.3, 0.1] : [0.2 + 0.002 * nth]
      const change = [{}, {}, { closedBy: 'abandoned' }, { simulated: true }, { by: 'B' }][nth % 5]
      return bend(
        leads.map((leadS) => go(leadS)),
        change,
      )
    })
    const live = leadOver([])
    for (const one of bends) live.hear(one)
    expect(live.now()).toEqual(leadOver(bends).now())
    expect(live.now().stops).toBeGreaterThan(20)
  })

  test('knows a bend that still waits for the disk, also when the same hands go on with another job', () => {
    const live = leadOver([bend([go(0.3)])])
    live.hear(bend([go(0.4)]))
    live.use({ ...HANDS })
    expect(live.now().stops).toBe(2)
    live.use({ ...HANDS, operator: 'B' })
    expect(live.now().stops).toBe(0)
  })

  test('forgets all but the newest bends', () => {
    const old = Array.from({ length: 40 }, () => bend([go(0.6)]))
    const fresh = Array.from({ length: BENDS_MAX }, () => bend([go(0.3)]))
    expect(leadOver([...old, ...fresh]).now()).toEqual(leadOver(fresh).now())
  })

  test.each([
    ['on a simulated bender', bend([go(0.5)], { simulated: true })],
    ['by another', bend([go(0.5)], { by: 'B' })],
    ['at another bender', bend([go(0.5)], { setup: { ...bend([]).setup, station: 'Right' } })],
    ['that was abandoned', bend([go(0.5)], { closedBy: 'abandoned' })],
    ['of a reference piece', bend([go(0.5)], { closedBy: 'reference piece' })],
    ['in which counts were lost', bend([go(0.5)], { closedBy: 'counts lost' })],
    ['without a call', bend([go(0.5, { cueDeg: null, cueRateDegPerS: null })])],
    ['that was cut off under load', bend([go(0.5, { releasedDeg: null })])],
  ])('learns nothing from a bend %s', (_, other) => {
    const live = leadOver([])
    live.hear(other)
    expect(live.now().stops).toBe(0)
  })

  test('learns from a go whose end nobody saw: where it stood under load was seen', () => {
    const live = leadOver([])
    live.hear(bend([go(0.5, { releasedDeg: null, releasedFrom: 'unknown' })]))
    expect(live.now().stops).toBe(1)
  })

  test('is the first one for a history that cannot be read', () => {
    const lead = makeLead({
      bendsByHands: () => {
        throw new Error('The disk is gone.')
      },
    })
    expect(() => lead.use(HANDS)).toThrow('The disk is gone.')
    expect(lead.now().leadS).toBe(FIRST_LEAD_S)
  })
})
