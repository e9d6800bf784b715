import { checkChain } from '../chain/check.ts'
import type { History } from '../history/history.ts'
import type { Clock } from '../link/link.ts'
import type { ChainRevision, ChainRevisionRow, ChainView } from '../messages/chain.ts'
import type { Catalogue } from '../own-blocks/catalogue.ts'
import { type ChainDoor, Refused } from '../web/station-door.ts'
import { makeReference } from './block-reference.ts'
import { type ChainDesk, fileIn } from './chain-desk.ts'
import { chainKindOf } from './chain-kinds.ts'
import { makeChainLook } from './chain-look.ts'
import type { ChainRun } from './chain-run.ts'
import { chainViewOf } from './chain-view.ts'
import { proveAside } from './prove-aside.ts'

/** Years of changes; what is older is in the log all the same. */
const REVISIONS_SHOWN = 100

interface Around {
  readonly clock: Pick<Clock, 'nowS' | 'after'>
  readonly history: Pick<History, 'chainRevision' | 'chainRevisions' | 'raw'>
  readonly desk: ChainDesk
  readonly catalogue: Catalogue
  running(): ChainRun
}

const nameOf = ({ name, revision }: Pick<ChainRevision, 'name' | 'revision'>) =>
  `${name} r${revision}`

/** The chain of a bender, for whoever wants to see it at work or to change it. */
export function makeChainDoor({ clock, history, desk, catalogue, running }: Around): ChainDoor {
  const rowOf = (one: ChainRevision): ChainRevisionRow => ({
    id: one.id,
    revision: nameOf(one),
    at: one.at,
    who: one.who,
    why: one.why,
    isInForce: nameOf(one) === running().revision,
  })

  const around = () => ({
    waiting: desk.waiting(),
    own: catalogue.own.map(({ block: { kind }, file, sha256, trouble }) => ({
      ...{ kind, file, sha256 },
      ...{ failures: trouble.times, lastFailure: trouble.last },
    })),
  })

  return {
    view: (): ChainView => ({
      ...chainViewOf(checkChain(running().file, catalogue.blocks)),
      ...around(),
    }),
    seen: makeChainLook(clock, running),
    kinds: () => catalogue.blocks.map(chainKindOf),
    reference: makeReference(catalogue),
    shipped: () => ({ file: desk.asHere(desk.shipped(), running().file) }),
    check: (file) => ({ ...chainViewOf(desk.check(file)), ...around() }),
    apply(ask) {
      const when = desk.apply(ask)
      return { when, revision: running().revision }
    },
    revisions: () => history.chainRevisions(running().file.name, REVISIONS_SHOWN).map(rowOf),
    revision(id) {
      const one = history.chainRevision(id)
      return one === null ? null : { ...rowOf(one), file: desk.asHere(fileIn(one), running().file) }
    },
    async prove({ file, bends }) {
      const draft = desk.check(file).file
      const raws = bends.map((id) => {
        const raw = history.raw(id)
        if (raw === null)
          throw new Refused(
            'no-such-bend',
            `There is no bend number ${id} in the history.`,
            'bends',
          )
        return { id, raw }
      })
      const task = { running: running().file, draft, blocksFolder: catalogue.folder, bends: raws }
      return { bends: await proveAside(task) }
    },
  }
}
