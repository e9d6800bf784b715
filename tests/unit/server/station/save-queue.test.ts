import { describe, expect, test } from 'vitest'
import { HistoryError } from '../../../../server/history/errors.ts'
import type { RawRecord } from '../../../../server/history/history.ts'
import type { Bend, NewBend } from '../../../../server/messages/bends.ts'
import { makeSaveQueue } from '../../../../server/station/save-queue.ts'

const RAW: RawRecord = { chain: '', snapshot: '', lines: [] }
const bend = (wantedDeg: number) => ({ wantedDeg }) as NewBend

function disk() {
  const saved: number[] = []
  let isFull = false
  return {
    saved,
    full(next: boolean) {
      isFull = next
    },
    append(given: NewBend): Bend {
      if (isFull) throw new HistoryError('HISTORY_DISK_FULL', { at: 'the disk' })
      saved.push(given.wantedDeg)
      return { ...given, id: saved.length } as Bend
    },
  }
}

describe('bends on their way to the disk', () => {
  test('go there at once while it takes them', () => {
    const history = disk()
    const queue = makeSaveQueue(history)
    const ids: number[] = []
    queue.save(bend(30), RAW, ({ id }) => ids.push(id))
    expect([history.saved, ids, queue.waiting(), queue.trouble()]).toEqual([[30], [1], 0, null])
  })

  test('wait in their order, with the reason told, and follow when it takes them again', () => {
    const history = disk()
    const queue = makeSaveQueue(history)
    const ids: number[] = []
    history.full(true)
    for (const wantedDeg of [1, 2, 3]) queue.save(bend(wantedDeg), RAW, ({ id }) => ids.push(id))
    expect(queue.waiting()).toBe(3)
    expect(queue.trouble()).toMatch(/disk is full/)
    history.full(false)
    queue.retry(100)
    expect([history.saved, ids, queue.waiting(), queue.trouble()]).toEqual([
      [1, 2, 3],
      [1, 2, 3],
      0,
      null,
    ])
  })

  test('go there at once when asked to, and the waits between tries stay as they are', () => {
    const history = disk()
    const queue = makeSaveQueue(history)
    history.full(true)
    queue.save(bend(1), RAW, () => undefined)
    history.full(false)
    queue.flush()
    expect([history.saved, queue.waiting()]).toEqual([[1], 0])
    history.full(true)
    queue.save(bend(2), RAW, () => undefined)
    history.full(false)
    queue.retry(100)
    expect(history.saved).toEqual([1, 2])
  })

  test('a new bend never overtakes one that waits', () => {
    const history = disk()
    const queue = makeSaveQueue(history)
    history.full(true)
    queue.save(bend(1), RAW, () => undefined)
    history.full(false)
    queue.save(bend(2), RAW, () => undefined)
    expect(history.saved).toEqual([1, 2])
  })

  test.each([true, false])('say whether another is open when they are saved late: %s', (isOpen) => {
    const told: (boolean | undefined)[] = []
    const history = disk()
    const queue = makeSaveQueue(
      {
        append(given, _raw, otherIsOpen) {
          told.push(otherIsOpen)
          return history.append(given)
        },
      },
      () => isOpen,
    )
    queue.save(bend(1), RAW, () => undefined)
    expect(told).toEqual([isOpen])
  })

  test('are tried again every five seconds, not more often', () => {
    const history = disk()
    let tries = 0
    const queue = makeSaveQueue({
      append(given, raw) {
        tries++
        return (history.append as (bend: NewBend, raw: RawRecord) => Bend)(given, raw)
      },
    })
    history.full(true)
    queue.save(bend(1), RAW, () => undefined)
    for (let s = 0; s < 20; s++) queue.retry(s)
    expect(tries).toBe(1 + 4)
  })

  test('beyond five hundred the oldest is lost, and that is told', () => {
    const history = disk()
    const queue = makeSaveQueue(history)
    history.full(true)
    for (let count = 0; count < 503; count++) queue.save(bend(count), RAW, () => undefined)
    expect([queue.waiting(), queue.lost()]).toEqual([500, 3])
    history.full(false)
    queue.retry(1000)
    expect(history.saved[0]).toBe(3)
    expect(history.saved).toHaveLength(500)
  })

  test('are kept without their lines where the history refuses those for good', () => {
    const kept: RawRecord[] = []
    const queue = makeSaveQueue({
      append(given, raw) {
        if (raw.lines.length > 2) throw new HistoryError('HISTORY_BAD_RAW', { what: 'too many' })
        kept.push(raw)
        return { ...given, id: kept.length } as Bend
      },
    })
    queue.save(bend(1), { ...RAW, lines: ['a', 'b', 'c'] }, () => undefined)
    queue.save(bend(2), { ...RAW, lines: ['a'] }, () => undefined)
    expect(kept.map(({ lines }) => lines.length)).toEqual([0, 1])
    expect([queue.waiting(), queue.lost(), queue.trouble()]).toEqual([0, 0, null])
  })
})
