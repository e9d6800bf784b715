import { HistoryError } from './history/errors.ts'
import type { NewBend } from './messages/bends.ts'
import type { Job, Sensor, Setup } from './messages/setup.ts'
import { benchSensor } from './station/bench-sensor.ts'
import type { Station } from './station.ts'

/** Our invented shop makes rails and ladders for workboats. Nothing here is anyone's product. */
const PART = 'Boarding rail BR-5'
/** Each of several benches bends a part of its own, of the same tube. */
const PARTS = [PART, 'Stern ladder SL-3', 'Canopy hoop CH-2', 'Pulpit rail PR-4'] as const
const WANTED_DEG = [38, 62, 90, 62, 38] as const
const LOTS = ['RT-2207', 'RT-2231'] as const
const PIECES_A_LOT = 3

const setupFor = (station: string, lot: string, sensor: Sensor): Setup => ({
  station,
  die: { name: 'R114 rail die', odMm: 38.1, clrMm: 114.3 },
  tube: { odMm: 38.1, wallMm: 1.65, material: '316l-annealed', lot },
  sensor,
})

const ON_THE_DIE = benchSensor({ mount: 'die', pressure: false })

const jobFor = (part: string, piece: number, bendNumber: number): Job => ({
  part,
  piece,
  bendNumber,
  wantedDeg: WANTED_DEG[bendNumber - 1] ?? 90,
  toleranceDeg: 0.5,
  operator: 'Bench',
})

/** The lot a piece is made of: three pieces of the first, three of the second, and round again. */
const lotOf = (piece: number): string =>
  LOTS[Math.floor((piece - 1) / PIECES_A_LOT) % LOTS.length] ?? LOTS[0]

/**
 * Keeps the bench supplied with work: bend after bend of a boarding rail, then the next lot of tube. It
 * begins only where nothing was chosen yet, and stops when somebody chooses something else to bend.
 *
 * @param bender What it is called, and which of several it is, from 0.
 * @param sensor The bench's own, where it is not the usual one: then it goes before the one of the set-up.
 */
export function runDemo(
  station: Station,
  sensor: Sensor | null = null,
  bender: { readonly name: string; readonly place: number } = { name: 'Bench bender', place: 0 },
): void {
  const part = PARTS[bender.place % PARTS.length] ?? PART
  const changeLot = (lot: string) => {
    if (station.state().setup?.setup.tube.lot === lot) return
    use(setupFor(bender.name, lot, sensor ?? station.state().setup?.setup.sensor ?? ON_THE_DIE))
  }
  const use = (setup: Setup) => {
    try {
      station.useSetup(setup)
    } catch (error) {
      // A disk that takes no new set-up: the old lot is bent on, and the page says what is wrong.
      if (!(error instanceof HistoryError)) throw error
    }
  }
  const begin = (piece: number, bendNumber: number) => {
    changeLot(lotOf(piece))
    station.useJob(jobFor(part, piece, bendNumber))
  }
  const before = station.state()
  if (before.setup === null || before.job === null) begin(1, 1)
  else if (sensor !== null) use({ ...before.setup.setup, sensor })
  station.onRecorded(({ job, verdict, releasedFrom }: NewBend) => {
    const now = station.state()
    // The wire may have been given to a sensor meanwhile: what is bent there is a person's to say.
    if (now.bench === null || job.part !== part || now.job?.part !== part) return
    const cameToNothing = verdict === 'incomplete' && releasedFrom !== 'unknown'
    const done = cameToNothing ? job.bendNumber - 1 : job.bendNumber
    if (done < WANTED_DEG.length) begin(job.piece, done + 1)
    else begin(job.piece + 1, 1)
  })
}
