import { describe, expect, test } from 'vitest'
import { PHOTO_MAX_BYTES } from '../../server/messages/act-kinds/photo.ts'
import { EXAMPLE_ASKS, EXAMPLE_PHOTO } from '../support/example-acts.ts'
import { makeWeb } from '../support/web.ts'

const ONE_BEND = 1201

function withBend() {
  const { app, station } = makeWeb({ auto: true })
  station.step(ONE_BEND)
  if (station.state().phase !== 'no-datum') station.act({ act: 'abandon' })
  const send = (payload: Buffer | string, type = 'application/octet-stream') =>
    app.inject({
      method: 'POST',
      url: '/api/photos',
      payload,
      headers: { 'content-type': type },
    })
  const { caption } = EXAMPLE_ASKS.photo
  const put = (photo: object) =>
    app.inject({
      method: 'POST',
      url: '/api/bends/1/photos',
      payload: { who: 'Quality', caption, ...photo },
    })
  return { app, station, send, put }
}

describe('a photo of a bend', () => {
  test('is handed in, put to the bend, and comes back byte for byte', async () => {
    const { app, send, put } = withBend()
    const kept = await send(EXAMPLE_PHOTO)
    expect(kept.statusCode).toBe(200)
    const { sha256, type, bytes } = EXAMPLE_ASKS.photo
    expect(kept.json()).toEqual({ sha256, type, bytes })
    expect((await put(kept.json())).json()).toMatchObject({ kind: 'photo', sha256, bytes })
    const back = await app.inject(`/api/photos/${sha256}`)
    expect(back.rawPayload.equals(EXAMPLE_PHOTO)).toBe(true)
    expect(back.headers).toMatchObject({
      'content-type': 'image/png',
      'x-content-type-options': 'nosniff',
    })
    expect((await put(kept.json())).json()).toMatchObject({ code: 'nothing-to-do' })
  })

  test('is not put to a bend before it was handed in', async () => {
    const { put, station } = withBend()
    const { who, ...photo } = EXAMPLE_ASKS.photo
    const answer = await put(photo)
    expect(answer.json()).toMatchObject({ code: 'bad-input', field: 'sha256' })
    expect(station.history.actsOn(1)).toEqual([])
  })

  test.each([
    ['text/plain', 'GIF89a', 415],
    ['application/json', '{}', 400],
  ])('a body of %s is refused', async (type, payload, status) => {
    expect((await withBend().send(payload, type)).statusCode).toBe(status)
  })

  test('one that is too large is refused with how large it may be', async () => {
    const answer = await withBend().send(Buffer.alloc(PHOTO_MAX_BYTES + 65 * 1024))
    expect(answer.statusCode).toBe(413)
    expect(answer.json().sentence).toContain(String(PHOTO_MAX_BYTES + 64 * 1024))
  })
})
