import type { History } from './history.ts'

/** A bender among several in one daemon. */
export interface StationPlace {
  /** Its name as an address has it: lower case, digits and hyphens. */
  readonly key: string
  /** Its name as its set-ups and records have it. */
  readonly name: string
}

/**
 * The one history as seen from one of several benders: its own open bend, its own revisions of the chain. All else,
 * the bends above all, is everybody's.
 */
export const historyAt = (history: History, { key, name }: StationPlace): History => ({
  ...history,
  append: (bend, raw, otherIsOpen) => history.append(bend, raw, otherIsOpen, key),
  openBend: (open) => history.openBend(open, key),
  closeOpenBend: () => history.closeOpenBend(key),
  leftOpen: () => history.leftOpen(key),
  newestChain: (chain) => history.newestChain(chain, name),
  chainRevisions: (chain, limit) => history.chainRevisions(chain, limit, name),
})
