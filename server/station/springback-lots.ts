import { apartOf } from '../bend/bend-series.ts'
import { type ExpectedBend, expectedBend } from '../bend/expected-bend.ts'
import { lotDifference } from '../bend/lot-difference.ts'
import { lotShares } from '../bend/lot-shares.ts'
import { know } from '../bend/shop-memory.ts'
import type { SpringbackModel } from '../bend/springback.ts'
import type { LotRow, LotTable } from '../messages/springback.ts'
import { type BentGroup, bendsOfGroup, bentGroups, isSameTube } from './lot-groups.ts'
import type { SpringbackFacts } from './springback-facts.ts'

const LOTS_MAX = 50
/** A lot's shares are those of its newest bends: what goes wrong now. */
const SHARES_OVER = 50

interface KnownGroup {
  readonly group: BentGroup
  readonly model: SpringbackModel
  readonly expected: ExpectedBend | null
}

/** Only lots of the same tube on the same die can be held against each other. */
function differenceOf(
  { group, model, expected }: KnownGroup,
  all: readonly KnownGroup[],
  wantedDeg: number,
) {
  const others = all.filter(
    (other) =>
      other.group.place.lot !== group.place.lot &&
      isSameTube(other.group, group) &&
      other.model.bends > 0,
  )
  if (others.length === 0 || model.bends === 0) return null
  const models = others.map((other) => other.model)
  return lotDifference(model, models, expected?.loadedDeg ?? wantedDeg)
}

function rowOf(known: KnownGroup, all: readonly KnownGroup[], facts: SpringbackFacts): LotRow {
  const { group, expected } = known
  const { newest, memory: setup } = group
  const { die, station, tube } = newest.setup
  const isVoid = new Set(facts.history.voided())
  const bends = bendsOfGroup(group, SHARES_OVER, facts).filter(({ id }) => !isVoid.has(id))
  return {
    ...{ setupId: newest.id, station, die, tube, expected },
    bends: setup.records,
    apart: setup.apartBefore + apartOf(setup.series),
    firstBend: setup.firstBend,
    lastBend: setup.lastBend,
    difference: differenceOf(known, all, facts.wantedDeg),
    shares: lotShares(
      bends.map((bend) => ({ ...bend, readoutExpandedDeg: bend.releasedExpandedDeg })),
    ),
  }
}

/** The lots that were bent last, each with what is known of it and what put its bends off. */
export function lotTable(facts: SpringbackFacts): LotTable {
  const { simulated, wantedDeg } = facts
  const bent = bentGroups(facts).sort((a, b) => b.memory.lastBend - a.memory.lastBend)
  const known = bent.slice(0, LOTS_MAX).map((group): KnownGroup => {
    const { model } = know(facts.memory, group.place)
    return { group, model, expected: expectedBend(model, wantedDeg) }
  })
  return {
    simulated,
    wantedDeg,
    rows: known.map((one) => rowOf(one, known, facts)),
    moreLots: Math.max(0, bent.length - LOTS_MAX),
    sharesOver: SHARES_OVER,
  }
}
