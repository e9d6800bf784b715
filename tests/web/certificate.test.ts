import { describe, expect, test } from 'vitest'
import { makeWeb } from '../support/web.ts'

const ONE_BEND = 1201

describe('GET /api/certificate', () => {
  test('is a PDF to keep, under a name that says what it is', async () => {
    const { app, station } = makeWeb({ auto: true })
    station.step(2 * ONE_BEND)
    const { part, piece } = station.history.bend(1)!
    const answer = await app.inject(
      `/api/certificate?part=${encodeURIComponent(part)}&piece=${piece}`,
    )
    expect(answer.statusCode).toBe(200)
    expect(answer.headers['content-type']).toBe('application/pdf')
    expect(answer.headers['content-disposition']).toBe(
      "attachment; filename*=UTF-8''bends-Boarding-rail-BR-5-piece-1.pdf",
    )
    expect(answer.rawPayload.subarray(0, 5).toString()).toBe('%PDF-')
    expect(answer.rawPayload.subarray(-6).toString()).toContain('%%EOF')
  })

  test.each([
    ['', 404, 'which part'],
    ['?piece=1', 404, 'say which part'],
    ['?part=none', 404, 'No bend is on record'],
    ['?part=a&piece=0', 400, 'piece'],
    ['?weight=3', 400, 'weight'],
  ])('%s is refused with %i, saying why', async (query, status, sentence) => {
    const { app } = makeWeb()
    const answer = await app.inject(`/api/certificate${query}`)
    expect(answer.statusCode).toBe(status)
    expect(JSON.stringify(answer.json())).toContain(sentence)
  })
})
