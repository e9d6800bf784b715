import {
  advanceBoard,
  BOARD,
  type Board,
  type BoardSpec,
  bootBoard,
  pressPedal,
  skipAhead,
  takeLines,
  tellBoard,
} from './board.ts'
import type { Motion } from './motion.ts'
import { type MountSpec, mountSensor } from './mount.ts'

export interface DeviceSpec extends MountSpec {
  readonly seed: number
  readonly board?: Partial<Pick<BoardSpec, 'board' | 'rateHz' | 'driftPpm' | 'bootTickUs'>>
}

/** A board with its sensor on a moving die. */
export interface Device {
  /** Lets time pass and gives the lines the board has sent meanwhile, without endings. */
  advance(dtS: number): string[]
  /** A line from the host to the board. */
  receive(line: string): void
  /** Lets time pass that nobody could listen to: the bender rests, the board leaves samples out. */
  skip(dtS: number): void
  readonly board: Board
}

/** Millisecond steps: fine enough for the fastest let-off, and one step a sample at the highest rate. */
const STEP_S = 0.001
/** Longest time in one call; more is the caller's mistake. */
const ADVANCE_MAX_S = 3600

/**
 * Puts sensor and board on a motion. Equal specifications and equal calls give equal lines.
 * @throws RangeError for a time step that is not between 0 and an hour.
 */
export function makeDevice(spec: DeviceSpec, motion: Motion): Device {
  const sensor = mountSensor(spec.seed, spec, motion)
  const board = bootBoard({ ...BOARD, ...sensor.board, ...spec.board })
  let owedS = 0

  const step = (): void => {
    motion.advance(STEP_S)
    advanceBoard(board, STEP_S, sensor.read)
    for (const edge of motion.takePedal()) pressPedal(board, edge, sensor.counts())
  }
  return {
    board,
    advance(dtS) {
      if (!(dtS >= 0 && dtS <= ADVANCE_MAX_S))
        throw new RangeError(`A bench advances by 0 to ${ADVANCE_MAX_S} s at a time, got ${dtS}.`)
      // Half a step of slack, so that 0.005 s are five steps however the sum was rounded.
      for (owedS += dtS; owedS >= STEP_S / 2; owedS -= STEP_S) step()
      return takeLines(board)
    },
    receive: (line) => tellBoard(board, line),
    skip: (dtS) => skipAhead(board, dtS),
  }
}
