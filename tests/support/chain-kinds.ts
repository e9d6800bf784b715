import type { Kinds } from '../../dashboard/pages/chain/draft.ts'
import { catalogue } from '../../server/blocks/index.ts'
import type { ChainKind } from '../../server/messages/chain.ts'
import { chainKindOf } from '../../server/station/chain-kinds.ts'

/** The catalogue as the daemon tells it to a page. */
export const chainKinds: readonly ChainKind[] = catalogue.map(chainKindOf)

export const kindsByName: Kinds = new Map(chainKinds.map((kind) => [kind.kind, kind]))
