import { describe, expect, onTestFinished, test } from 'vitest'
import type { History } from '../../../../server/history/history.ts'
import type { Bend, NewBend } from '../../../../server/messages/bends.ts'
import {
  cutOffSentence,
  leftOpenBend,
  leftOpenSentence,
  NO_LINES,
} from '../../../../server/station/left-open.ts'
import { makeFakeHistory } from '../../../support/fake-history.ts'
import { makeFolder, newBend, openShop, SETUP } from '../history/shop.ts'

const STARTED_AT = '2026-01-05T08:00:00.000+01:00'
const report = (history: History) => ({
  history,
  software: 'test',
  chainRevision: 'die-encoder 1',
  wallMs: Date.UTC(2026, 0, 5, 7, 5),
})

function historyLeftOpen(setupId = 1) {
  const history = makeFakeHistory()
  history.addSetup(SETUP)
  history.openBend({ startedAt: STARTED_AT, setupId, job: newBend(1).job, simulated: true })
  return history
}

describe('a bend that a crash left open', () => {
  test.each([
    { marked: { leadS: 0.31 }, leadS: 0.31 },
    { marked: {}, leadS: 0.2 },
  ])('was called $leadS s ahead, as its mark says', ({ marked, leadS }) => {
    const history = historyLeftOpen()
    const open = history.leftOpen()
    if (open === null) throw new Error('none is open')
    history.openBend({ ...open, ...marked })
    expect(leftOpenBend(report(history))?.leadS).toBe(leadS)
  })
  test('becomes an incomplete one: nothing of it was measured, and nothing is made up', () => {
    const bend = leftOpenBend(report(historyLeftOpen()))
    expect(bend).toMatchObject({
      startedAt: STARTED_AT,
      job: newBend(1).job,
      setupId: 1,
      tube: SETUP.tube,
      closedBy: 'restart',
      verdict: 'incomplete',
      learned: 'no',
      goes: [],
      hits: 0,
      peakDeg: null,
      releasedDeg: null,
      springbackDeg: null,
      prediction: null,
      simulated: true,
    })
    expect(Date.parse(bend?.finishedAt ?? '')).toBe(Date.UTC(2026, 0, 5, 7, 5))
  })

  test('is one that the history takes, and is then left open no more', () => {
    const folder = makeFolder()
    const history = openShop(folder.dir)
    onTestFinished(() => {
      history.close()
      folder.remove()
    })
    history.openBend({ startedAt: STARTED_AT, setupId: 1, job: newBend(1).job, simulated: true })
    const bend = leftOpenBend(report(history)) as NewBend
    expect(history.append(bend, NO_LINES)).toMatchObject({ id: 1, closedBy: 'restart' })
    expect(history.verify().intact).toBe(true)
    expect(leftOpenBend(report(history))).toBeNull()
  })

  test('there is none when all was closed, and none of a set-up that nobody knows', () => {
    expect(leftOpenBend(report(makeFakeHistory()))).toBeNull()
    expect(leftOpenBend(report(historyLeftOpen(9)))).toBeNull()
  })

  test('is told by its name and its number', () => {
    const job = { ...newBend(1).job, part: 'Rail', piece: 4, bendNumber: 3 }
    expect(leftOpenSentence({ ...newBend(1), id: 17, job } as Bend)).toBe(
      'Bend 3 of Rail, piece 4, was cut off by a restart: recorded as number 17.',
    )
  })
})

describe('a bend that was cut off', () => {
  const incomplete = (closedBy: string) => newBend(1, { closedBy, verdict: 'incomplete' })

  test.each(['link lost', 'counts lost', 'let off while no samples came', 'open for too long'])(
    'by "%s" is told in a sentence',
    (closedBy) => {
      expect(cutOffSentence(incomplete(closedBy))).toMatch(/^Bend \d+ of .* is incomplete: .*\.$/)
    },
  )
  test.each(['accepted', 'abandoned', 'next datum', 'daemon stopped', 'tube taken out'])(
    'by "%s" needs none: whoever bends knows it',
    (closedBy) => {
      expect(cutOffSentence(incomplete(closedBy))).toBeNull()
    },
  )
  test('after it was measured needs none either', () => {
    expect(cutOffSentence(newBend(1, { closedBy: 'link lost', verdict: 'in' }))).toBeNull()
  })
})
