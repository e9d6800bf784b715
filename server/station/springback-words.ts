import { whyNoAim } from '../bend/aim.ts'
import type { ExpectedBend } from '../bend/expected-bend.ts'
import type { LotDifference } from '../bend/lot-difference.ts'
import type { NextLesson } from '../bend/next-lesson.ts'
import {
  apartSentence,
  differenceSentence,
  expectedSentence,
  lessonSentence,
} from '../bend/plain-words.ts'
import type { SetupKnowledge } from '../bend/shop-memory.ts'
import { coefficientsOf } from '../bend/springback.ts'
import type { SpringbackPoint } from '../messages/springback.ts'

interface Known {
  readonly known: SetupKnowledge
  readonly wantedDeg: number
  readonly expected: ExpectedBend | null
  readonly nextBend: NextLesson | null
  /** Against the lot before it. */
  readonly difference: (LotDifference & { readonly lot: string }) | null
  readonly points: readonly SpringbackPoint[]
}

/** What is known of a set-up, as a person would say it. */
export function sentencesOf(facts: Known): string[] {
  const { known, wantedDeg, expected, nextBend, difference, points } = facts
  if (expected === null || nextBend === null) return [whyNoAim(coefficientsOf(known.model))]
  const { lotBends, materialBends, model, drift } = known
  const { loadedDeg, springbackDeg } = expected
  const apart = points.filter(({ standing }) => standing === 'apart').length
  const decided = points.filter(
    ({ decision }) => decision !== null && decision.decision !== 'as-found',
  ).length
  return [
    drift?.sentence ?? null,
    expectedSentence(
      { wantedDeg, loadedDeg, springbackDeg, halfDeg: nextBend.nowDeg },
      { ownBends: model.bends, lotBends, materialBends },
    ),
    difference && differenceSentence(difference, wantedDeg, difference.lot),
    lessonSentence(nextBend, wantedDeg),
    apartSentence(apart, decided),
  ].filter((sentence) => sentence !== null)
}
