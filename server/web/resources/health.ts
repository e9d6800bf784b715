import type { History } from '../../history/history.ts'
import { Health } from '../../messages/health.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'
import { answerFor } from '../refuse.ts'
import type { StationDoor } from '../station-door.ts'

/** The station's notice of what the disk refused. */
const STORAGE_NOTICE = 'storage'

function storageOf(station: StationDoor, history: History) {
  const notice = station.state().notices.find(({ id }) => id === STORAGE_NOTICE)
  try {
    return { bends: history.count(), storage: notice?.text ?? null }
  } catch (error) {
    return { bends: 0, storage: answerFor(error).body.sentence }
  }
}

/** GET /health: how the daemon is, for whoever watches it. Answers unpaired and with a broken disk. */
export const health: Resource = async (app, { station, history, clock, software, keeping }) => {
  const startS = clock.nowS()
  app.get(
    '/health',
    {
      config: { unpaired: true },
      schema: {
        tags: ['service'],
        summary: 'How the daemon is',
        security: [],
        response: answers(Health, { unpaired: true }),
      },
    },
    async () => {
      const { link, unsaved } = station.state()
      const { bends, storage } = storageOf(station, history)
      const upS = clock.nowS() - startS
      const kept = keeping?.keeping() ?? { backups: null, room: null }
      const ok = storage === null && unsaved === 0 && !kept.backups?.trouble
      return { ok, software, upS, link, bends, unsaved, storage, keeping: kept }
    },
  )
}
