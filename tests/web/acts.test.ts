import { describe, expect, test } from 'vitest'
import { makeWeb } from '../support/web.ts'

const ONE_BEND = 1201
const ASK = { who: 'Quality', decision: 'taken-out', reason: 'The clamp had slipped.' }

function withBends(count: number) {
  const { app, station } = makeWeb({ auto: true })
  station.step(count * ONE_BEND)
  // The fake bends on by itself: the next one is given up, and nothing is open.
  if (station.state().phase !== 'no-datum') station.act({ act: 'abandon' })
  const decide = (id: number, change: object = {}) =>
    app.inject({
      method: 'POST',
      url: `/api/bends/${id}/teaching`,
      payload: { ...ASK, ...change },
    })
  return { app, station, decide }
}

describe('POST /api/bends/:id/teaching', () => {
  test('enters the decision, tied to the record by number and hash', async () => {
    const { decide, station } = withBends(2)
    const answer = await decide(2)
    expect(answer.statusCode).toBe(200)
    const bend = station.history.bend(2)
    expect(answer.json()).toMatchObject({
      ...ASK,
      id: 1,
      kind: 'teaching',
      bend: { number: 2, hash: bend?.hash },
    })
    expect(station.history.decisions()).toEqual([{ bendId: 2, decision: 'taken-out' }])
  })

  test('can be undone, which is an act of its own', async () => {
    const { app, decide, station } = withBends(1)
    await decide(1)
    await decide(1, { decision: 'as-found', reason: 'It was the other tube.' })
    expect(station.history.decisions()).toEqual([{ bendId: 1, decision: 'as-found' }])
    const acts = (await app.inject('/api/bends/1/acts')).json()
    expect(acts.map(({ decision }: { decision: string }) => decision)).toEqual([
      'taken-out',
      'as-found',
    ])
  })

  test.each([
    [{ who: '' }, 400, 'who'],
    [{ reason: '' }, 400, 'reason'],
    [{ reason: '   ' }, 400, 'reason'],
    [{ reason: 'x'.repeat(501) }, 400, 'reason'],
    [{ decision: 'perhaps' }, 400, 'decision'],
    [{ bendId: 2 }, 400, 'bendId'],
    [{ decision: 'as-found' }, 409, 'decision'],
  ])('%j is refused with %i, naming the field', async (change, status, field) => {
    const { decide, station } = withBends(1)
    const answer = await decide(1, change)
    expect(answer.statusCode).toBe(status)
    expect(JSON.stringify(answer.json())).toContain(field)
    expect(station.history.decisions()).toEqual([])
  })

  test('names no bend that is not there', async () => {
    const answer = await withBends(1).decide(99)
    expect(answer.statusCode).toBe(404)
    expect(answer.json().sentence).toBe('There is no bend number 99 in the history.')
  })

  test('does not wait for a bend that is open', async () => {
    const { decide, station } = withBends(1)
    station.act({ act: 'datum' })
    station.step(600)
    expect((await decide(1)).statusCode).toBe(200)
    expect(station.history.decisions()).toEqual([{ bendId: 1, decision: 'taken-out' }])
  })
})

describe('each kind of act at its own address', () => {
  function withBend() {
    const { app, station } = withBends(1)
    const ask = (address: string, payload: object) =>
      app.inject({ method: 'POST', url: `/api/bends/1/${address}`, payload })
    return { app, station, ask }
  }

  test('amend, void, count again, sign, counter-sign and note make a trail, oldest first', async () => {
    const { app, station, ask } = withBend()
    const from = station.history.bend(1)!.operator
    const trail = [
      ['amendments', { who: 'Q', field: 'operator', from, to: 'Ada', reason: 'It was Ada.' }],
      ['void', { who: 'Q', reason: 'Wrong tube.' }],
      ['reinstatement', { who: 'Q', reason: 'Right tube.' }],
      ['signatures', { who: 'Q', role: 'signed', meaning: 'I checked it.' }],
      ['signatures', { who: 'R', role: 'counter-signed', meaning: 'So did I.' }],
      ['notes', { who: 'R', text: '<i>ok</i> 🛠' }],
    ] as const
    for (const [address, payload] of trail) {
      const answer = await ask(address, payload)
      expect(answer.json()).toMatchObject({ ...payload, whoKnownBy: 'typed' })
      expect(answer.statusCode).toBe(200)
    }
    const acts = (await app.inject('/api/bends/1/acts')).json()
    expect(acts.map(({ kind }: { kind: string }) => kind)).toEqual([
      ...['amendment', 'void', 'reinstated', 'signature', 'signature', 'note'],
    ])
    const { bends } = (await app.inject('/api/bends')).json()
    expect(bends[0].marks).toEqual({ isVoid: false, isAmended: true, signed: 'counter-signed' })
    expect(bends[0].operator).toBe(from)
  })

  test('a note of 10 000 emoji arrives whole', async () => {
    const text = '🛠'.repeat(10_000)
    const answer = await withBend().ask('notes', { who: 'Q', text })
    expect(answer.json().text).toBe(text)
  })

  test.each([
    ['amendments', { field: 'verdict', from: 'in', to: 'over', reason: 'x' }, 'field'],
    ['amendments', { field: 'peakDeg', from: '1', to: '2', reason: 'x' }, 'field'],
    ['amendments', { field: 'operator', from: 'Nobody', to: 'Ada', reason: 'x' }, 'from'],
    ['void', {}, 'reason'],
    ['notes', { text: ' ' }, 'text'],
    ['signatures', { role: 'counter-signed', meaning: 'x' }, 'role'],
    ['signatures', { role: 'signed' }, 'meaning'],
    ['notes', { text: 'x', kind: 'void' }, 'kind'],
  ])('%s with %j is refused at %s, and nothing is entered', async (address, payload, field) => {
    const { station, ask } = withBend()
    const answer = await ask(address, { who: 'Q', ...payload })
    expect(answer.statusCode).toBeGreaterThanOrEqual(400)
    expect(answer.json().field).toBe(field)
    expect(station.history.actsOn(1)).toEqual([])
  })

  test('no act waits for the end of a bend, whether it changes what bends teach or not', async () => {
    const { station, ask } = withBend()
    station.act({ act: 'datum' })
    station.step(600)
    expect((await ask('void', { who: 'Q', reason: 'Wrong tube.' })).statusCode).toBe(200)
    expect(station.history.voided()).toEqual([1])
    expect((await ask('notes', { who: 'Q', text: 'Meanwhile.' })).statusCode).toBe(200)
  })
})

test('a bend that nobody did anything about has no acts; one that is not there is refused', async () => {
  const { app } = withBends(1)
  expect((await app.inject('/api/bends/1/acts')).json()).toEqual([])
  const answer = await app.inject('/api/bends/2/acts')
  expect(answer.statusCode).toBe(404)
  expect(answer.json()).toMatchObject({ code: 'no-such-bend' })
})
