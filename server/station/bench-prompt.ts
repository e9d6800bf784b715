import type { BenchDoor } from './bench-door.ts'
import type { BendDesk } from './bend-desk.ts'

/** Shows the bench's own operator what the page shows a person. */
export function promptBench(bench: BenchDoor | null, desk: BendDesk): void {
  const { phase, cue } = desk.progress()
  const result = desk.result()
  bench?.show({
    phase,
    cue,
    verdict: phase === 'settled' ? (result?.verdict ?? null) : null,
    againDeg: result?.againDeg ?? null,
    hasJob: desk.job() !== null,
  })
}
