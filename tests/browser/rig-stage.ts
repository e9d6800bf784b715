import { makeDaemonDoors } from '../../server/station/daemon-doors.ts'
import { makeAccess } from '../../server/web/access.ts'
import { buildApp } from '../../server/web/app.ts'
import { listen } from '../../server/web/listen.ts'
import { makeFakePeople } from '../support/fake-people.ts'
import { makeFakeWire } from '../support/fake-wire.ts'
import { realClock } from '../support/real-clock.ts'
import { makeRig, type RigOptions } from '../support/station-rig.ts'

const HOST = '127.0.0.1'

export type Rig = ReturnType<typeof makeRig>

/** A whole station on the bench, on a simulated clock and a real history, behind the real web. */
export async function openRigStage(dashboardDir: string, options: RigOptions) {
  const rig = makeRig(options)
  const daemonWide = {
    history: rig.history,
    clock: rig.clock,
    software: 'test',
    teaching: () => [rig.station.teaching],
    trace: (bendId: number) => rig.station.trace(bendId),
    signing: () => null,
  }
  const app = buildApp({
    station: rig.station,
    wire: makeFakeWire(),
    history: rig.history,
    ...makeDaemonDoors(daemonWide),
    people: makeFakePeople(rig.history, realClock),
    dashboardDir,
    access: makeAccess({ host: HOST, clock: realClock }),
    clock: realClock,
    software: 'test',
  })
  const { url } = await listen(app, { host: HOST, port: 0 })
  return {
    rig,
    url,
    async close() {
      await app.close()
      await rig.close()
    },
  }
}

/** Seconds that no dozen bends take. */
const PATIENCE_S = 3000

/** Bends on until so many are on record. */
export function bendTo(rig: Rig, count: number): void {
  for (let s = 0; s < PATIENCE_S && rig.history.count() < count; s++) rig.clock.advance(1)
  if (rig.history.count() < count) throw new Error(`There are ${rig.history.count()} bends only.`)
}
