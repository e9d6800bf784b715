import type { History } from '../history/history.ts'
import { isoWithOffset } from '../history/iso-time.ts'
import type { Clock } from '../link/link.ts'
import type { KnownBy } from '../messages/act-kinds/act-kind.ts'
import { ACT_KINDS, type Act, type ActAsk, type ActKind, type NewAct } from '../messages/acts.ts'
import type { Bend } from '../messages/bends.ts'
import type { BendActsDoor, TeachingDoor } from '../web/station-door.ts'
import { demandPlace } from './act-rules.ts'

export interface BendActsParts {
  readonly history: Pick<History, 'addAct' | 'actsOn' | 'photo'>
  readonly clock: Pick<Clock, 'wallMs'>
  readonly software: string
  /** Of every bender: what was taught is made anew in all of them. */
  readonly teaching: () => readonly TeachingDoor[]
}

/** What people do about recorded bends, for all benders of a daemon. The bends themselves never change. */
export function makeBendActs(parts: BendActsParts): BendActsDoor {
  const { history, clock, software } = parts
  const photoOf = (sha256: string) => {
    const kept = history.photo(sha256)
    return kept && { type: kept.type, bytes: kept.image.length }
  }
  return {
    add<K extends ActKind>(kind: K, bend: Bend, ask: ActAsk<K>, whoKnownBy: KnownBy): Act {
      demandPlace(kind, { bend, acts: history.actsOn(bend.id), photo: photoOf }, ask)
      const at = isoWithOffset(clock.wallMs())
      const given = { kind, schema: 1, at, ...ask, whoKnownBy, bendId: bend.id, software }
      const act = history.addAct(given as unknown as NewAct)
      if (ACT_KINDS.some((one) => one.kind === kind && one.teaches))
        for (const bender of parts.teaching()) bender.retaught()
      return act
    },
  }
}
