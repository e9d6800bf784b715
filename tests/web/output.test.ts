import { describe, expect, test } from 'vitest'
import { makeWeb } from '../support/web.ts'

const arm = (payload: unknown) => ({
  method: 'PUT' as const,
  url: '/api/output',
  headers: { 'content-type': 'application/json' },
  payload: JSON.stringify(payload),
})
const keep = { method: 'POST', url: '/api/output/keep', payload: {} } as const

describe('arming an output', () => {
  const web = () => makeWeb({ auto: false })

  test('is off at the start, armed when asked, off again', async () => {
    const { app, station } = web()
    expect(station.state().output).toEqual({
      armed: null,
      follows: null,
      isOn: false,
      trouble: null,
    })
    const answer = await app.inject(arm({ output: 'relay', understood: true }))
    expect(answer.json()).toEqual({ done: true })
    expect(station.state().output.armed).toBe('relay')
    expect((await app.inject(keep)).json()).toEqual({ done: true })
    await app.inject({ method: 'DELETE', url: '/api/output' })
    expect(station.state().output.armed).toBeNull()
  })

  test('is armed for the chain only when that is asked for', async () => {
    const { app, station } = web()
    await app.inject(arm({ output: 'relay', understood: true }))
    expect(station.state().output.follows).toBe('stop-cue')
    await app.inject(arm({ output: 'relay', follows: 'chain', understood: true }))
    expect(station.state().output).toMatchObject({ armed: 'relay', follows: 'chain' })
  })

  test.each([
    ['for nobody', { output: 'relay', follows: 'anybody', understood: true }],
    ['without the caution', { output: 'relay' }],
    ['with the caution not understood', { output: 'relay', understood: false }],
    ['of an output that is none', { output: 'motor', understood: true }],
    ['with more than is asked', { output: 'relay', understood: true, forGood: true }],
  ])('is refused %s, and nothing is armed', async (_, payload) => {
    const { app, station } = web()
    const answer = await app.inject(arm(payload))
    expect(answer.statusCode).toBe(400)
    expect(answer.json()).toMatchObject({ code: 'bad-input', sentence: expect.any(String) })
    expect(station.state().output.armed).toBeNull()
  })

  test('cannot be kept when nothing is armed: it is not armed anew by itself', async () => {
    const answer = await web().app.inject(keep)
    expect(answer.statusCode).toBe(409)
    expect(answer.json().code).toBe('not-now')
  })

  test('is refused from a page of another origin', async () => {
    const { app, station } = web()
    const request = arm({ output: 'relay', understood: true })
    const headers = { ...request.headers, origin: 'http://evil.test' }
    expect((await app.inject({ ...request, headers })).statusCode).toBe(403)
    expect(station.state().output.armed).toBeNull()
  })
})
