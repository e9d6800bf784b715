import type { LinkState, Notice, StationState } from '../messages/live.ts'
import type { Catalogue } from '../own-blocks/catalogue.ts'
import { ownBlockNotices } from '../own-blocks/notices.ts'
import type { BendDesk } from './bend-desk.ts'
import type { makeDeviceEar } from './device-ear.ts'
import { type Conditions, noticesFor } from './notices.ts'
import type { ReadoutDesk } from './readout-desk.ts'
import type { SaveQueue } from './save-queue.ts'
import type { StationParts } from './station-parts.ts'

/** What a station is made of, as far as its page shows it. */
interface Around {
  /** What the bender is called in a daemon that has several; else the set-up says it. */
  readonly name: string | undefined
  readonly software: string
  readonly catalogue: Catalogue
  readonly keeping: StationParts['keeping']
  readonly bench: StationState['bench']
  readonly desk: BendDesk
  readonly ear: ReturnType<ReturnType<typeof makeDeviceEar>['state']>
  readonly link: LinkState
  readonly readout: ReadoutDesk
  readonly output: StationState['output']
  readonly disk: Pick<Conditions, 'storage' | 'unsaved' | 'lost'>
  readonly leftOpen: string | null
  /** Why the shop's own chain does not run. */
  readonly chain: string | null
  readonly boardNotices: readonly Notice[]
  readonly tapNotices: readonly Notice[]
}

/** How the disk takes what it is given. */
export const diskOf = (queue: SaveQueue, notes: { trouble(): string | null }): Around['disk'] => ({
  storage: queue.trouble() ?? notes.trouble(),
  unsaved: queue.waiting(),
  lost: queue.lost(),
})

/** All that a page is told of a bender, but for its samples. */
export function stateOf(around: Around): StationState {
  const { software, bench, desk, ear, link, readout, output, disk } = around
  const { name, leftOpen, chain } = around
  const { simulated, originLost, sensorFault } = ear
  return {
    station: name ?? desk.setup()?.setup.station ?? 'Bender',
    software,
    simulated,
    link,
    ...desk.progress(),
    setup: desk.setup(),
    job: desk.job(),
    aim: desk.aim(),
    result: desk.result(),
    datumS: desk.datumS(),
    uncertaintyDeg: readout.liveUncertainty()?.expandedDeg ?? null,
    leadS: desk.leadS(),
    verification: readout.inForce().check?.at ?? null,
    output,
    unsaved: disk.unsaved,
    bench,
    notices: [
      ...noticesFor({
        ...disk,
        originLost,
        sensorFault,
        noAimWhy: desk.noAimWhy(),
        leftOpen,
        chain,
        drift: desk.driftSentence(),
        gap: desk.gapSentence(),
      }),
      ...readout.notices(),
      ...around.boardNotices,
      ...around.tapNotices,
      ...ownBlockNotices(around.catalogue),
      ...(around.keeping?.notices() ?? []),
    ],
  }
}
