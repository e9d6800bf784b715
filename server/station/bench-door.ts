import type { BenchAct } from '../messages/commands.ts'
import type { BenchState, Cue, Phase, Result } from '../messages/live.ts'
import { Refused } from '../web/station-door.ts'

/** The built-in bench, as the station needs it: what can be asked of it, and what its operator sees. */
export interface BenchDoor {
  act(act: BenchAct): void
  state(): BenchState
  /** The next tube is of this lot: what the set-up says is what is bent. */
  useLot(name: string): void
  show(prompt: {
    readonly phase: Phase
    readonly cue: Cue
    readonly verdict: Result['verdict'] | null
    readonly againDeg: number | null
    readonly hasJob: boolean
  }): void
}

/** @throws Refused when the lines come from a sensor. */
export function workBench(bench: BenchDoor | null, act: BenchAct): void {
  if (bench === null)
    throw new Refused('no-bench', 'There is no built-in bench here: the lines come from a sensor.')
  bench.act(act)
}
