import { Value } from 'typebox/value'
import type { History } from '../history/history.ts'
import { Job, type StoredSetup } from '../messages/setup.ts'
import { WireChoice } from '../messages/wire.ts'

const SETUP_KEY = 'set-up in use'
const JOB_KEY = 'job in hand'
const WIRE_KEY = 'wire in use'

/** What the station remembers over a restart: which set-up is in use, what is to be bent, and where lines come from. */
export function makeMemory(history: Pick<History, 'remember' | 'recall' | 'setups'>) {
  return {
    setup(): StoredSetup | null {
      const id = history.recall(SETUP_KEY)
      return history.setups().find((setup) => setup.id === id) ?? null
    },
    job(): Job | null {
      const job = history.recall(JOB_KEY)
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
      history.remember(SETUP_KEY, id)
    },
    keepJob(job: Job): void {
      history.remember(JOB_KEY, job)
    },
  }
}
