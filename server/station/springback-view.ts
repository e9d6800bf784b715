import { type ExpectedBend, expectedBend } from '../bend/expected-bend.ts'
import { knowledgeSteps, priorAt } from '../bend/knowledge-steps.ts'
import { lotDifference } from '../bend/lot-difference.ts'
import { nextLesson } from '../bend/next-lesson.ts'
import { know } from '../bend/shop-memory.ts'
import { foretoldAt } from '../bend/shop-nodes.ts'
import type { SpringbackModel } from '../bend/springback.ts'
import { bandOf, curveAnglesDeg, lawOf } from '../bend/springback-band.ts'
import { predictSpringback } from '../bend/springback-prediction.ts'
import type { SpringbackPoint, SpringbackView } from '../messages/springback.ts'
import { refused } from '../web/refuse.ts'
import { Refused } from '../web/station-door.ts'
import { bendsOfGroup, type LotGroup, lotBefore, lotGroups } from './lot-groups.ts'
import type { SpringbackFacts } from './springback-facts.ts'
import { pointOf } from './springback-points.ts'
import { sentencesOf } from './springback-words.ts'

const POINTS_MAX = 500

/** The set-up that is asked for, with all that springback takes for the same. @throws Refused */
function asked(facts: SpringbackFacts, setupId: number | undefined) {
  const setups = facts.history.setups()
  const id = setupId ?? facts.inUse?.id
  if (id === undefined) throw refused('no-setup')
  const setup = setups.find((stored) => stored.id === id)
  if (!setup) throw refused('no-such-setup', id)
  const group = lotGroups(facts).find(({ setupIds }) => setupIds.includes(id))
  if (group) return { setup, group }
  const sentence = `Set-up ${id} is of a tube or material that this version does not know.`
  throw new Refused('bad-input', sentence, 'setup')
}

function pointsOf(group: LotGroup, model: SpringbackModel, facts: SpringbackFacts) {
  const { history, memory } = facts
  if (group.memory === null) return { points: [], olderPoints: 0 }
  const decided = new Set(history.decisions().map(({ bendId }) => bendId))
  const voided = new Set(history.voided())
  const around = { memory, setup: group.memory, model, actsOn: history.actsOn, decided, voided }
  const bends = bendsOfGroup({ ...group, memory: group.memory }, POINTS_MAX, facts)
  const isCut = bends.length === POINTS_MAX
  return {
    points: bends.map((bend) => pointOf(bend, around)),
    olderPoints: isCut ? Math.max(0, group.memory.records - POINTS_MAX) : 0,
  }
}

function againstLast(
  group: LotGroup,
  model: SpringbackModel,
  atDeg: number,
  facts: SpringbackFacts,
) {
  const last = lotBefore(group, facts)
  if (last === null || model.bends === 0) return null
  const { model: other } = know(facts.memory, last.place)
  if (other.bends === 0) return null
  return { ...lotDifference(model, [other], atDeg), lot: last.place.lot }
}

function curvesOf(
  { place }: LotGroup,
  model: SpringbackModel,
  shown: { points: readonly SpringbackPoint[]; atDeg: number; memory: SpringbackFacts['memory'] },
) {
  const { points, atDeg, memory } = shown
  const loadedDeg = curveAnglesDeg([atDeg, ...points.map((point) => point.loadedDeg)])
  const prior = bandOf(priorAt(memory, place), loadedDeg)
  return { loadedDeg, prior, posterior: bandOf(model, loadedDeg) }
}

function stepsAt({ place }: LotGroup, atDeg: number, memory: SpringbackFacts['memory']) {
  return knowledgeSteps(memory, place).map(({ level, bends, model }) => {
    const { springbackDeg, lowDeg, highDeg } = predictSpringback(model, atDeg)
    return { level, bends, springbackDeg, lowDeg, highDeg }
  })
}

/** What is known of a set-up's springback, and from which bends. @throws Refused, HistoryError */
export function springbackView(facts: SpringbackFacts, setupId?: number): SpringbackView {
  const { memory, simulated, inUse, wantedDeg } = facts
  const { setup, group } = asked(facts, setupId)
  const known = know(memory, group.place)
  const { model } = known
  const expected: ExpectedBend | null = expectedBend(model, wantedDeg)
  const atDeg = expected?.loadedDeg ?? wantedDeg
  const nextBend = expected && nextLesson(model, atDeg)
  const { points, olderPoints } = pointsOf(group, model, facts)
  const difference = againstLast(group, model, atDeg, facts)
  return {
    ...{ setup, simulated, wantedDeg, expected, nextBend, points, olderPoints },
    isInUse: inUse !== null && group.setupIds.includes(inUse.id),
    sentences: sentencesOf({ known, wantedDeg, expected, nextBend, difference, points }),
    law: { ...lawOf(model), predictedSlope: foretoldAt(group.place).slope },
    steps: stepsAt(group, atDeg, memory),
    ...curvesOf(group, model, { points, atDeg, memory }),
  }
}
