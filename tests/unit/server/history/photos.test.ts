import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import type { History } from '../../../../server/history/history.ts'
import { openHistory } from '../../../../server/history/open.ts'
import { verifyFolder } from '../../../../server/history/reader.ts'
import { PHOTO_MAX_BYTES } from '../../../../server/messages/act-kinds/photo.ts'
import type { NewAct } from '../../../../server/messages/acts.ts'
import { EXAMPLE_ASKS, EXAMPLE_PHOTO } from '../../../support/example-acts.ts'
import { makeFolder, openShop, refusalOf } from './shop.ts'

let dir: string
let remove: () => void
let history: History
beforeEach(() => {
  ;({ dir, remove } = makeFolder())
  history = openShop(dir, 1)
})
afterEach(() => {
  history.close()
  remove()
})

const JPEG = Buffer.concat([Buffer.from([0xff, 0xd8, 0xff, 0xe0]), Buffer.alloc(100, 7)])
const WEBP = Buffer.concat([Buffer.from('RIFF....WEBPVP8 '), Buffer.alloc(100, 7)])

describe('photos', () => {
  test.each([
    ['image/png', EXAMPLE_PHOTO],
    ['image/jpeg', JPEG],
    ['image/webp', WEBP],
  ])('a %s is known by how it begins, and is there after a restart', (type, image) => {
    const kept = history.addPhoto(image)
    expect(kept).toMatchObject({ type, bytes: image.length })
    expect(history.addPhoto(image)).toEqual(kept)
    history.close()
    history = openHistory(dir)
    expect(history.photo(kept.sha256)?.image.equals(image)).toBe(true)
  })

  test.each([
    ['nothing', Buffer.alloc(0)],
    ['a text', Buffer.from('<svg onload=alert(1)>')],
    ['half a beginning', EXAMPLE_PHOTO.subarray(0, 4)],
    ['another format', Buffer.from('GIF89a..........')],
  ])('%s is refused as no image', (_what, image) => {
    expect(refusalOf(() => history.addPhoto(image))).toMatchObject({
      code: 'HISTORY_BAD_PHOTO',
      message: 'This cannot be kept as a photo: it is no JPEG, PNG or WebP image.',
    })
  })

  test('one byte too many is refused', () => {
    const image = Buffer.concat([JPEG, Buffer.alloc(PHOTO_MAX_BYTES - JPEG.length + 1)])
    expect(refusalOf(() => history.addPhoto(image)).message).toMatch(/8388609 bytes; 8388608 is/)
  })

  test('on a full disk it is refused, and nothing of it is kept', () => {
    history.close()
    history = openHistory(dir, { pagesMax: 60 })
    const image = Buffer.concat([JPEG, Buffer.alloc(2_000_000, 3)])
    expect(refusalOf(() => history.addPhoto(image))).toMatchObject({ code: 'HISTORY_DISK_FULL' })
    expect(history.verify().intact).toBe(true)
    expect(history.addPhoto(JPEG).bytes).toBe(JPEG.length)
  })

  test('a backup holds them, and is checked with them', async () => {
    history.addPhoto(EXAMPLE_PHOTO)
    history.addAct({
      ...{ kind: 'photo', schema: 1, at: '2026-01-05T09:00:00.000+01:00' },
      ...EXAMPLE_ASKS.photo,
      ...{ bendId: 1, software: '0.1.0' },
    } as NewAct)
    const file = join(dir, 'copy.sqlite')
    await history.backup(file)
    expect(verifyFolder(file)).toMatchObject({ intact: true, acts: { entries: 1 } })
  })
})
