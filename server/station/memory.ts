import { Value } from 'typebox/value'
import type { StationPlace } from '../history/at-station.ts'
import type { History } from '../history/history.ts'
import { Job, type StoredSetup } from '../messages/setup.ts'
import { WireChoice } from '../messages/wire.ts'

const SETUP_KEY = 'set-up in use'
const JOB_KEY = 'job in hand'
const WIRE_KEY = 'wire in use'

/**
 * What the station remembers over a restart: which set-up is in use, what is to be bent, and where lines come from.
 * Of several benders each remembers under its own key; one that has nothing there yet takes over what was
 * remembered when it was alone, if that is of a set-up with its name.
 */
export function makeMemory(
  history: Pick<History, 'remember' | 'recall' | 'setups'>,
  place?: Pick<StationPlace, 'key' | 'name'>,
) {
  const at = (key: string) => (place === undefined ? key : `${key} @ ${place.key}`)
  const setupOf = (id: unknown) => history.setups().find((setup) => setup.id === id) ?? null
  const wasAlone = () => {
    const setup = setupOf(history.recall(SETUP_KEY))
    return setup !== null && setup.setup.station === place?.name ? setup : null
  }
  return {
    setup(): StoredSetup | null {
      return setupOf(history.recall(at(SETUP_KEY))) ?? wasAlone()
    },
    job(): Job | null {
      const own = history.recall(at(JOB_KEY))
      const isTakenOver = own === undefined && wasAlone() !== null
      const job = isTakenOver ? history.recall(JOB_KEY) : own
      return Value.Check(Job, job) ? job : null
    },
    wire(): WireChoice | null {
      const wire = history.recall(WIRE_KEY)
      return Value.Check(WireChoice, wire) ? wire : null
    },
    keepWire(wire: WireChoice): void {
      history.remember(WIRE_KEY, wire)
    },
    keepSetup({ id }: StoredSetup): void {
      history.remember(at(SETUP_KEY), id)
    },
    keepJob(job: Job): void {
      history.remember(at(JOB_KEY), job)
    },
  }
}
