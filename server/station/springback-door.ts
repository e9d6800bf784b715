import type { Job, StoredSetup } from '../messages/setup.ts'
import type { SpringbackDoor } from '../web/station-door.ts'
import type { SpringbackFacts } from './springback-facts.ts'
import { lotTable } from './springback-lots.ts'
import { springbackView } from './springback-view.ts'

/** What is asked of the bender. */
interface AtBender {
  setup(): StoredSetup | null
  job(): Job | null
  taught(): Pick<SpringbackFacts, 'memory' | 'simulated'>
}

/** Where no job says what is wanted. */
const USUAL_DEG = 90

/** What the shop's bends say of springback, for whoever wants to see it. */
export function makeSpringbackDoor(
  history: SpringbackFacts['history'],
  bender: () => AtBender,
): SpringbackDoor {
  function now(): SpringbackFacts {
    const at = bender()
    const wantedDeg = at.job()?.wantedDeg ?? USUAL_DEG
    return { history, ...at.taught(), inUse: at.setup(), wantedDeg }
  }
  return {
    view: (setupId) => springbackView(now(), setupId),
    lots: () => lotTable(now()),
  }
}
