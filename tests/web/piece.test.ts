import { expect, onTestFinished, test } from 'vitest'
import type { SignInAsk } from '../../server/messages/people.ts'
import type { PieceNow } from '../../server/messages/piece.ts'
import { makeDaemonDoors } from '../../server/station/daemon-doors.ts'
import { OPERATOR, REVIEWER, signIn, withPeople } from '../support/enrolled.ts'
import { FAKE_SOFTWARE } from '../support/fake-state.ts'
import { type App, makeFolder, makeWeb, type TestWebOptions } from '../support/web.ts'
import { newBend, openShop, rawOf } from '../unit/server/history/shop.ts'

const PIECE = { part: 'Boarding rail 5', piece: 7 }
const LOOK = '/api/piece?part=Boarding+rail+5&piece=7'
const MEANING = { role: 'signed', meaning: 'I vouch for it.' }

/** A history on the disk with so many bends of one piece, behind the web of a fake station. */
function shopOf(bends: number) {
  const history = openShop(makeFolder())
  onTestFinished(() => history.close())
  const bend = () => {
    const n = history.count() + 1
    const { job } = newBend(n)
    return history.append(newBend(n, { job: { ...job, ...PIECE, bendNumber: n } }), rawOf(n))
  }
  for (let n = 1; n <= bends; n += 1) bend()
  const options: TestWebOptions = {
    auto: false,
    wrap: (station) => ({
      ...station,
      history,
      doors: makeDaemonDoors({
        ...{ history, software: FAKE_SOFTWARE, clock: { wallMs: () => Date.UTC(2026, 0, 6) } },
        teaching: () => [station.teaching],
        ...{ trace: async () => null, signing: () => null },
      }),
    }),
  }
  return { history, bend, options }
}

const post = (app: App, payload: object, cookie?: string) =>
  app.inject({
    ...{ method: 'POST' as const, url: '/api/piece/signatures', payload },
    ...(cookie !== undefined && { headers: { cookie } }),
  })

async function lookAt(app: App): Promise<PieceNow> {
  const answer = await app.inject(LOOK)
  expect(answer.statusCode).toBe(200)
  return answer.json()
}

const ofWhatIsSeen = async (app: App) => ({ ...PIECE, seen: (await lookAt(app)).seen })

test('in an open shop a piece is looked at, signed by a typed name, and signed once more by nobody of that name', async () => {
  const { history, options } = shopOf(3)
  const { app } = makeWeb(options)
  const shown = await lookAt(app)
  expect(shown).toMatchObject({ ...PIECE, seen: { bends: 3, acts: 0, lastAct: 0 } })
  expect(shown.bends.map(({ id, signatures }) => [id, signatures])).toEqual(
    [1, 2, 3].map((id) => [id, []]),
  )
  const answer = await post(app, {
    ...PIECE,
    ...MEANING,
    who: '  Ada\u00A0Boss ',
    seen: shown.seen,
  })
  expect(answer.statusCode).toBe(200)
  expect(answer.json().leftOut).toEqual([])
  for (const act of answer.json().acts)
    expect(act).toMatchObject({ ...MEANING, who: 'Ada Boss', whoKnownBy: 'typed' })
  const again = await post(app, { ...(await ofWhatIsSeen(app)), ...MEANING, who: 'ada boss' })
  expect([again.statusCode, again.json().code]).toEqual([409, 'nothing-to-do'])
  const counter = { role: 'counter-signed', meaning: 'So do I.' }
  const own = await post(app, { ...(await ofWhatIsSeen(app)), ...counter, who: 'ada boss' })
  expect([own.statusCode, own.json().code]).toEqual([409, 'not-signable'])
  expect(
    (await post(app, { ...(await ofWhatIsSeen(app)), ...counter, who: 'Rosa' })).statusCode,
  ).toBe(200)
  const verified = (await app.inject('/api/history/verify')).json()
  expect(verified).toMatchObject({ records: 3, intact: true })
  expect(history.verify().acts.entries).toBe(6)
  const { bends } = (await app.inject('/api/bends')).json()
  for (const { marks } of bends) expect(marks.signed).toBe('counter-signed')
})

test('a bend that cannot be signed has the whole refused, naming it, and no bend before it is signed', async () => {
  const { history, options } = shopOf(3)
  const { app } = makeWeb(options)
  const url = '/api/bends/3/void'
  await app.inject({ method: 'POST', url, payload: { who: 'Q', reason: 'Wrong tube.' } })
  const ask = { ...(await ofWhatIsSeen(app)), ...MEANING, who: 'Q' }
  const answer = await post(app, ask)
  expect(answer.statusCode).toBe(409)
  expect(answer.json()).toMatchObject({ code: 'not-signable', field: 'withoutVoid' })
  expect(answer.json().sentence).toMatch(/^Bend 3 is void, .* nothing was signed\.$/)
  expect(history.verify().acts.entries).toBe(1)
  expect((await post(app, { ...ask, withoutVoid: true })).json()).toMatchObject({
    acts: [{ bendId: 1 }, { bendId: 2 }],
    leftOut: [{ bend: 3, why: 'void' }],
  })
})

test('a bend that was recorded meanwhile has it refused, also while the password is looked at', async () => {
  const { history, bend, options } = shopOf(3)
  const { app, people } = await withPeople(options)
  const cookie = await signIn(app, OPERATOR)
  const ask = { ...(await ofWhatIsSeen(app)), ...MEANING, password: OPERATOR.password }
  const demand = people.demandPassword
  people.demandPassword = async (...of) => {
    await demand(...of)
    bend()
  }
  const answer = await post(app, ask, cookie)
  expect(answer.statusCode).toBe(409)
  expect(answer.json()).toEqual({
    ...{ code: 'changed-since', field: 'seen.bends' },
    sentence:
      'Piece 7 of Boarding rail 5 has 4 bends by now, and the page showed 3: look at it again; nothing was signed.',
  })
  expect(history.verify().acts.entries).toBe(0)
})

test('where people are enrolled it takes a session, the password again, and a reviewer to counter-sign', async () => {
  const { history, options } = shopOf(2)
  const { app } = await withPeople(options)
  const as = async (person: SignInAsk, change: object) =>
    post(app, { ...(await ofWhatIsSeen(app)), ...MEANING, ...change }, await signIn(app, person))
  expect((await post(app, { ...(await ofWhatIsSeen(app)), ...MEANING })).json().code).toBe(
    'not-signed-in',
  )
  expect((await as(OPERATOR, {})).json()).toMatchObject({ code: 'bad-input', field: 'password' })
  const wrong = await as(OPERATOR, { password: 'x' })
  expect([wrong.statusCode, wrong.json().code]).toEqual([401, 'wrong-password'])
  const counter = { role: 'counter-signed' }
  const { password } = OPERATOR
  expect((await as(OPERATOR, { ...counter, password })).json().code).toBe('not-your-role')
  expect(history.verify().acts.entries).toBe(0)
  const signed = await as(OPERATOR, { who: 'Somebody else', password })
  expect(signed.json().acts).toHaveLength(2)
  for (const act of signed.json().acts)
    expect(act).toMatchObject({ who: 'Olaf', whoKnownBy: 'password' })
  const rosa = { ...counter, password: REVIEWER.password }
  expect((await as(REVIEWER, rosa)).json().acts).toHaveLength(2)
  expect(JSON.stringify(history.actsOn(1))).not.toContain(password)
  expect(history.verify().intact).toBe(true)
})

test('what is missing, misspelt or nowhere is refused, naming the field', async () => {
  const { history, options } = shopOf(2)
  const { app } = makeWeb(options)
  const whole = { ...(await ofWhatIsSeen(app)), ...MEANING, who: 'Q' }
  for (const [change, status, field] of [
    [{ seen: undefined }, 400, 'seen'],
    [{ seen: { bends: 2 } }, 400, 'seen'],
    [{ meaning: ' ' }, 400, 'meaning'],
    [{ role: 'approved' }, 400, 'role'],
    [{ piece: 0 }, 400, 'piece'],
    [{ bends: 2 }, 400, 'bends'],
    [{ piece: 8 }, 404, 'piece'],
    [{ part: 'boarding rail 5' }, 404, 'piece'],
  ] as const) {
    const answer = await post(app, { ...whole, ...change })
    expect([answer.statusCode, change]).toEqual([status, change])
    expect(answer.json().field).toContain(field)
  }
  expect(history.verify().acts.entries).toBe(0)
})

test('a history that is only looked at shows the piece and signs nothing', async () => {
  const { history, options } = shopOf(2)
  const { app } = makeWeb({ ...options, isToLook: true })
  const ask = { ...(await ofWhatIsSeen(app)), ...MEANING, who: 'Q' }
  expect((await post(app, ask)).json().code).toBe('only-to-look')
  expect(history.verify().acts.entries).toBe(0)
})
