import { expect, test } from 'vitest'
import { HistoryError } from '../../../../server/history/errors.ts'
import type { History } from '../../../../server/history/history.ts'
import { openOrLate } from '../../../../server/history/late-history.ts'
import { makeFakeHistory } from '../../../support/fake-history.ts'
import { newBend, newCalibration, rawOf, refusalOf, SETUP } from './shop.ts'

/** A folder whose disk can be mended; `opened` counts the attempts. */
function makeDisk(code: ConstructorParameters<typeof HistoryError>[0]) {
  const history = makeFakeHistory()
  const disk = { isMended: false, attempts: 0 }
  function open(): History {
    disk.attempts++
    if (!disk.isMended) throw new HistoryError(code, { at: 'the folder', what: 'a test' })
    return history
  }
  return { disk, open, history }
}

test('a history that opens is given as it is', () => {
  const { disk, open, history } = makeDisk('HISTORY_READ_ONLY')
  disk.isMended = true
  expect(openOrLate(open)).toEqual({ history, trouble: null })
})

test.each([
  'HISTORY_READ_ONLY',
  'HISTORY_DISK_FULL',
  'HISTORY_DISK_FAULT',
  'HISTORY_BUSY',
  'HISTORY_CORRUPT',
] as const)('%s: there is a history to come, and the reason is told', (code) => {
  const { open } = makeDisk(code)
  const { history, trouble } = openOrLate(open)
  expect(trouble).toMatch(/\.$/)
  expect(history.page({ limit: 50 }).total).toBe(0)
  expect([history.count(), history.bend(1), history.raw(1)]).toEqual([0, null, null])
  expect([...history.lessons()]).toEqual([])
  expect(history.bendsByHands({ operator: 'x', station: 'x', simulated: false }, 9)).toEqual([])
  const place = { lot: 'x', setupIds: [1], simulated: false, firstBend: 1, lastBend: 9 }
  expect(history.placeBends(place, 9)).toEqual([])
  expect(history.setups()).toEqual([])
  expect(history.readoutEntry(1)).toBeNull()
  expect(history.readoutEntries({ station: 'x', kind: 'check', limit: 9 })).toEqual([])
})

test.each(['HISTORY_FOREIGN', 'HISTORY_NEWER', 'HISTORY_IN_USE', 'HISTORY_BAD_PATH'] as const)(
  '%s is no fault of the disk: it is refused',
  (code) => {
    const { open } = makeDisk(code)
    expect(refusalOf(() => openOrLate(open)).code).toBe(code)
  },
)

test('an error that is none of the history is not swallowed', () => {
  const mistake = new TypeError('a mistake')
  expect(() =>
    openOrLate(() => {
      throw mistake
    }),
  ).toThrow(mistake)
})

test.each<[string, (history: History) => unknown]>([
  ['a bend', (history) => history.append(newBend(1), rawOf(1))],
  ['a set-up', (history) => history.addSetup(SETUP)],
  ['an act about the readout', (history) => history.addReadoutEntry(newCalibration())],
  ['a setting', (history) => history.remember('a', 1)],
  ['the end of a bend', (history) => history.closeOpenBend()],
  // Nothing known is not the same as nothing there: what a crash left must not be passed over.
  ['what a crash left open', (history) => history.leftOpen()],
  ['what was remembered', (history) => history.recall('a')],
])('%s tries to open it again, and says what is in the way', (_, ask) => {
  const { disk, open } = makeDisk('HISTORY_READ_ONLY')
  const { history } = openOrLate(open)
  expect(refusalOf(() => ask(history)).code).toBe('HISTORY_READ_ONLY')
  expect(disk.attempts).toBe(2)
})

test('once it opens it is the history, and is opened no second time', () => {
  const { disk, open } = makeDisk('HISTORY_DISK_FULL')
  const { history } = openOrLate(open)
  disk.isMended = true
  history.addSetup(SETUP)
  history.append(newBend(1), rawOf(1))
  expect(history.count()).toBe(1)
  expect(history.page({ limit: 50 }).total).toBe(1)
  expect(history.leftOpen()).toBeNull()
  expect(disk.attempts).toBe(2)
})

test('one that never opened can be closed', () => {
  const { open } = makeDisk('HISTORY_CORRUPT')
  expect(() => openOrLate(open).history.close()).not.toThrow()
})
