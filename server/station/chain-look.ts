import type { Clock } from '../link/link.ts'
import type { ChainSeen } from '../messages/chain.ts'
import type { ChainRun } from './chain-run.ts'

/** Whoever looks asks several times a second; after so long nobody does, and the chain is left in peace. */
const LOOKED_AT_FOR_S = 10

/** Watches the running chain for as long as somebody asks. */
export function makeChainLook(
  clock: Pick<Clock, 'nowS' | 'after'>,
  running: () => ChainRun,
): () => ChainSeen {
  let watched: ChainRun | null = null
  let lastAskedS = 0

  function leaveInPeace(): void {
    const restS = lastAskedS + LOOKED_AT_FOR_S - clock.nowS()
    if (restS > 0) {
      clock.after(restS, leaveInPeace)
      return
    }
    watched?.unwatch()
    watched = null
  }

  function watch(chain: ChainRun): void {
    lastAskedS = clock.nowS()
    if (watched === chain) return
    if (watched === null) clock.after(LOOKED_AT_FOR_S, leaveInPeace)
    watched?.unwatch()
    watched = chain
    chain.watch()
  }

  return () => {
    const chain = running()
    watch(chain)
    return {
      revision: chain.revision,
      nowS: clock.nowS(),
      outputs: chain.seen(),
      taps: chain.taps(),
    }
  }
}
