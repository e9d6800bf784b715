import { catalogue } from '../blocks/index.ts'
import type { Block } from '../chain/block.ts'
import { loadOwnBlocks } from './load.ts'
import type { OwnBlock } from './own-block.ts'

/** Every block that chains can be made of here. */
export interface Catalogue {
  readonly blocks: readonly Block[]
  /** Of them those that do not come with the program. */
  readonly own: readonly OwnBlock[]
  /** Where those were loaded from; null without. */
  readonly folder: string | null
}

/** The blocks that come with the program. */
export const SHIPPED: Catalogue = { blocks: catalogue, own: [], folder: null }

/** With the own blocks of a folder, or without. @throws OwnBlocksRefused in one sentence. */
export async function catalogueWith(folder: string | null): Promise<Catalogue> {
  if (folder === null) return SHIPPED
  const own = await loadOwnBlocks(folder, new Set(catalogue.map(({ kind }) => kind)))
  return { blocks: [...catalogue, ...own.map(({ block }) => block)], own, folder }
}
