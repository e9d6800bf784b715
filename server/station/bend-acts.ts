import type { History } from '../history/history.ts'
import { isoWithOffset } from '../history/iso-time.ts'
import type { Clock } from '../link/link.ts'
import type { KnownBy } from '../messages/act-kinds/act-kind.ts'
import { ACT_KINDS, type Act, type ActAsk, type ActKind, type NewAct } from '../messages/acts.ts'
import type { Bend } from '../messages/bends.ts'
import type { BendActsDoor, TeachingDoor } from '../web/station-door.ts'
import { typedName } from '../web/typed-names.ts'
import { demandPlace } from './act-rules.ts'

export interface BendActsParts {
  readonly history: Pick<History, 'addAct' | 'actsOn' | 'photo'>
  readonly clock: Pick<Clock, 'wallMs'>
  readonly software: string
  /** Of every bender: what was taught is made anew in all of them. */
  readonly teaching: () => readonly TeachingDoor[]
}

/** Whom a bend is amended to is typed like any other name of a person. */
function withTypedOperator<K extends ActKind>(ask: ActAsk<K>): ActAsk<K> {
  const { field, to } = ask as { readonly field?: unknown; readonly to?: unknown }
  if (field !== 'operator' || typeof to !== 'string') return ask
  return { ...ask, to: typedName(to, 'to') }
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
      const asked = withTypedOperator(ask)
      demandPlace(kind, { bend, acts: history.actsOn(bend.id), photo: photoOf }, asked)
      const at = isoWithOffset(clock.wallMs())
      const given = { kind, schema: 1, at, ...asked, whoKnownBy, bendId: bend.id, software }
      const act = history.addAct(given as unknown as NewAct)
      if (ACT_KINDS.some((one) => one.kind === kind && one.teaches))
        for (const bender of parts.teaching()) bender.retaught()
      return act
    },
  }
}
