import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import type { Hands, History } from '../../../../server/history/history.ts'
import { openHistory } from '../../../../server/history/open.ts'
import { EXAMPLE_PHOTO } from '../../../support/example-acts.ts'
import {
  lateRefusalOf,
  makeFolder,
  newAct,
  newBend,
  newCalibration,
  newExport,
  newPersonChange,
  newRevision,
  openShop,
  rawOf,
  refusalOf,
  SETUP,
} from './shop.ts'

// Every append waits for the disk, and a busy one takes its time.
vi.setConfig({ testTimeout: 60_000 })

type Method = Exclude<keyof History, 'backup' | 'close'>

/** Each method, called as it is meant to be. */
const CALLS: Readonly<Record<Method, (history: History) => unknown>> = {
  append: (history) => history.append(newBend(9), rawOf(9)),
  page: (history) => history.page({ limit: 10, part: 'Rail' }),
  summary: (history) => history.summary({ lot: 'L-1' }),
  selectionSteps: (history) => history.selectionSteps({ lot: 'L-1' }).next(),
  exported: (history) => [...history.exported({ lot: 'L-1' }, 'csv')],
  knownNames: (history) => history.knownNames(),
  bend: (history) => history.bend(1),
  raw: (history) => history.raw(1),
  lessons: (history) => [...history.lessons()],
  placeBends: (history) =>
    history.placeBends(
      { lot: 'L-1', setupIds: [1], simulated: true, firstBend: 1, lastBend: 9 },
      2,
    ),
  bendsByHands: (history) =>
    history.bendsByHands({ operator: 'Operator 1', station: SETUP.station, simulated: true }, 2),
  count: (history) => history.count(),
  openBend: (history) =>
    history.openBend({
      startedAt: '2026-01-05T08:00:00Z',
      setupId: 1,
      job: newBend(1).job,
      simulated: true,
    }),
  closeOpenBend: (history) => history.closeOpenBend(),
  leftOpen: (history) => history.leftOpen(),
  leftOpenAt: (history) => history.leftOpenAt(),
  addSetup: (history) => history.addSetup({ ...SETUP, station: 'Other' }),
  setups: (history) => history.setups(),
  addReadoutEntry: (history) => history.addReadoutEntry(newCalibration()),
  readoutEntry: (history) => history.readoutEntry(1),
  readoutEntries: (history) =>
    history.readoutEntries({ station: SETUP.station, kind: 'check', limit: 10 }),
  addAct: (history) => history.addAct(newAct()),
  actsOn: (history) => history.actsOn(1),
  addPhoto: (history) => history.addPhoto(EXAMPLE_PHOTO),
  photo: (history) => history.photo('00'.repeat(32)),
  decisions: (history) => history.decisions(),
  voided: (history) => history.voided(),
  addPersonChange: (history) => history.addPersonChange(newPersonChange(), 'secret'),
  people: (history) => history.people(),
  personChanges: (history) => history.personChanges(),
  secretOf: (history) => history.secretOf('Quality'),
  addExport: (history) => history.addExport(newExport()),
  exportsLogged: (history) => history.exportsLogged({ limit: 9 }),
  addChainRevision: (history) => history.addChainRevision(newRevision()),
  chainRevision: (history) => history.chainRevision(1),
  newestChain: (history) => history.newestChain('die-encoder'),
  chainRevisions: (history) => history.chainRevisions('die-encoder', 9),
  together: (history) => history.together(() => history.append(newBend(9), rawOf(9)).id),
  remember: (history) => history.remember('name', 1),
  recall: (history) => history.recall('name'),
  verify: (history) => history.verify(),
  verifySteps: (history) => history.verifySteps().next(),
}
const METHODS = Object.entries(CALLS)

let dir: string
let remove: () => void
let history: History

function begin(): void {
  ;({ dir, remove } = makeFolder())
  history = openShop(dir, 5)
}
function end(): void {
  history.close()
  remove()
}
beforeEach(begin)
afterEach(end)

describe('after close', () => {
  test.each(METHODS)('%s is refused', (_, call) => {
    history.close()
    const refusal = refusalOf(() => call(history))
    expect(refusal.code).toBe('HISTORY_CLOSED')
    expect(refusal.message).toContain(dir)
  })

  test('backup is refused', async () => {
    history.close()
    const refusal = await lateRefusalOf(history.backup(join(dir, 'copy')))
    expect(refusal.code).toBe('HISTORY_CLOSED')
    expect(existsSync(join(dir, 'copy'))).toBe(false)
  })

  test('close does nothing more, and takes no lock from the next opener', () => {
    history.close()
    const next = openHistory(dir)
    history.close()
    expect(refusalOf(() => openHistory(dir)).code).toBe('HISTORY_IN_USE')
    next.close()
  })

  test('a walk that was begun ends in a refusal', () => {
    const walk = history.lessons()[Symbol.iterator]()
    history.close()
    expect(refusalOf(() => walk.next()).code).toBe('HISTORY_CLOSED')
  })
})

describe('while lessons are walked', () => {
  test.each(METHODS)('%s works, and so does the rest of the walk', (_, call) => {
    const met: number[] = []
    for (const bend of history.lessons()) {
      if (met.length === 2) call(history)
      met.push(bend.id)
    }
    expect(met.slice(0, 5)).toEqual([1, 2, 3, 4, 5])
    expect(history.verify().intact).toBe(true)
  })

  test('backup works', async () => {
    const walk = history.lessons()[Symbol.iterator]()
    walk.next()
    expect(await history.backup(join(dir, 'copy'))).toMatchObject({ records: 5 })
    expect(walk.next().value?.id).toBe(2)
  })

  test('a walk that is left early holds nothing', () => {
    for (const _ of history.lessons()) break
    history.close()
    history = openHistory(dir)
    expect(history.count()).toBe(5)
  })
})

describe('after a refusal', () => {
  test.each(METHODS)('%s works as before', (_, call) => {
    const expected = call(history)
    end()
    begin()
    refusalOf(() => history.append({ ...newBend(6), setupId: 9 }, rawOf(6)))
    refusalOf(() => history.page({ limit: 0 }))
    expect(call(history)).toEqual(expected)
  })
})

test('the newest bends of the same hands, oldest first, and no more than were asked for', () => {
  const numbers = (newest: number, change: Partial<Hands> = {}) => {
    const hands = { operator: 'Operator 2', station: SETUP.station, simulated: true, ...change }
    return history.bendsByHands(hands, newest).map(({ id }) => id)
  }
  history.append(newBend(6), rawOf(6))
  history.append(newBend(7, { simulated: false }), rawOf(7))
  expect(numbers(9)).toEqual([1, 4])
  expect(numbers(1)).toEqual([4])
  expect(numbers(0)).toEqual([])
  expect(numbers(9, { simulated: false })).toEqual([7])
  expect(numbers(9, { operator: 'nobody' })).toEqual([])
  expect(numbers(9, { station: 'elsewhere' })).toEqual([])
})

test('what teaches is walked, of every set-up, oldest first', () => {
  const other = history.addSetup({ ...SETUP, station: 'Other' })
  history.append(newBend(6, { learned: 'no', notLearnedWhy: 'incomplete' }), rawOf(6))
  const { tube: _, ...setup } = { ...SETUP, station: 'Other' }
  history.append(newBend(7, { setupId: other.id, setup }), rawOf(7))
  history.append(newBend(8), rawOf(8))
  const lessons = [...history.lessons()]
  expect(lessons.map(({ id, setupId }) => [id, setupId])).toEqual([
    ...[1, 2, 3, 4, 5].map((id) => [id, 1]),
    [7, other.id],
    [8, 1],
  ])
  for (const { id, setupId, ...lesson } of lessons) {
    const { peakDeg, springbackDeg, simulated } = newBend(id)
    expect(lesson).toEqual({ peakDeg, springbackDeg, simulated })
  }
})
