import { describe, expect, test } from 'vitest'
import { makeWeb } from '../support/web.ts'

const TEXT = [
  'Date,Part,Wanted,Tolerance,Bent to,Released,Operator',
  '2019-03-04,BR-5,90,1,93.2,90.3,Ada',
  '2019-03-05,BR-5,45,1,46.9,45.1,Ada',
].join('\n')
const ASK = {
  file: 'old notebook.csv',
  text: TEXT,
  separator: 'comma',
  decimal: 'point',
  dates: 'year-first',
  setupId: 1,
  mapping: {},
}

const post = (app: ReturnType<typeof makeWeb>['app'], url: string, payload: object) =>
  app.inject({ method: 'POST', url, payload })

describe('/api/notebook', () => {
  test('is looked over with the guessed columns, then taken as records that say so', async () => {
    const { app } = makeWeb()
    const first = (await post(app, '/api/notebook/preview', ASK)).json()
    expect(first.problemCount).toBeGreaterThan(0)
    const mapped = { ...ASK, mapping: first.guess }
    const preview = (await post(app, '/api/notebook/preview', mapped)).json()
    expect(preview).toMatchObject({ lines: 2, canTeach: 2, problems: [], problemCount: 0 })
    const taken = await post(app, '/api/notebook', { ...mapped, who: 'Quality', teach: false })
    expect(taken.json()).toEqual({ bends: 2, first: 1, last: 2 })
    const bend = (await app.inject('/api/bends/1')).json()
    expect(bend.imported).toMatchObject({ file: 'old notebook.csv', line: 2, by: 'Quality' })
    const { bends } = (await app.inject('/api/bends')).json()
    expect(bends[0].imported.line).toBe(3)
    expect(bend.rawLines).toBe(0)
  })

  test.each([
    [{ who: '' }, 'who'],
    [{ separator: 'space' }, 'separator'],
    [{ mapping: { weight: { column: 1 } } }, 'weight'],
    [{ mapping: { part: { column: -1 } } }, 'part'],
    [{ text: 5 }, 'text'],
  ])('%j is refused, naming it', async (change, named) => {
    const { app, station } = makeWeb()
    const answer = await post(app, '/api/notebook', {
      ...ASK,
      who: 'Quality',
      teach: false,
      ...change,
    })
    expect(answer.statusCode).toBe(400)
    expect(JSON.stringify(answer.json())).toContain(named)
    expect(station.history.count()).toBe(0)
  })

  test('with a letter that nobody could read is refused by its line', async () => {
    const { app, station } = makeWeb()
    const broken = { ...ASK, text: TEXT.replace('45.1,Ada', '45.1,J\uFFFDrg') }
    const { guess } = (await post(app, '/api/notebook/preview', broken)).json()
    const given = { ...broken, mapping: guess, who: 'Quality', teach: false }
    const answer = await post(app, '/api/notebook', given)
    expect(answer.statusCode).toBe(400)
    expect(answer.json().sentence).toContain('Line 3, operator: A letter here could not be read')
    expect(station.history.count()).toBe(0)
  })

  test('takes two million characters, and refuses more', async () => {
    const { app } = makeWeb()
    const header = 'Date\n'
    const most = header + 'x'.repeat(2_000_000 - header.length)
    expect((await post(app, '/api/notebook/preview', { ...ASK, text: most })).statusCode).toBe(200)
    const more = await post(app, '/api/notebook/preview', { ...ASK, text: `${most}x` })
    expect(more.statusCode).toBe(400)
  })
})
