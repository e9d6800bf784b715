import { HistoryError } from './history/errors.ts'
import type { NewBend } from './messages/bends.ts'
import type { Job, Setup } from './messages/setup.ts'
import type { Station } from './station.ts'

/** Our invented shop makes rails and ladders for workboats. Nothing here is anyone's product. */
const PART = 'Boarding rail BR-5'
const WANTED_DEG = [38, 62, 90, 62, 38] as const
const LOTS = ['RT-2207', 'RT-2231'] as const
const PIECES_A_LOT = 3

const setupFor = (lot: string): Setup => ({
  station: 'Bench bender',
  die: { name: 'R114 rail die', odMm: 38.1, clrMm: 114.3 },
  tube: { odMm: 38.1, wallMm: 1.65, material: '316l-annealed', lot },
  sensor: { mount: 'die', countsPerTurn: 0, direction: 'forward' },
})

const jobFor = (piece: number, bendNumber: number): Job => ({
  part: PART,
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
 */
export function runDemo(station: Station): void {
  const changeLot = (lot: string) => {
    if (station.state().setup?.setup.tube.lot === lot) return
    try {
      station.useSetup(setupFor(lot))
    } catch (error) {
      // A disk that takes no new set-up: the old lot is bent on, and the page says what is wrong.
      if (!(error instanceof HistoryError)) throw error
    }
  }
  const begin = (piece: number, bendNumber: number) => {
    changeLot(lotOf(piece))
    station.useJob(jobFor(piece, bendNumber))
  }
  const before = station.state()
  if (before.setup === null || before.job === null) begin(1, 1)
  station.onRecorded(({ job, verdict }: NewBend) => {
    if (job.part !== PART || station.state().job?.part !== PART) return
    const done = verdict === 'incomplete' ? job.bendNumber - 1 : job.bendNumber
    if (done < WANTED_DEG.length) begin(job.piece, done + 1)
    else begin(job.piece + 1, 1)
  })
}
