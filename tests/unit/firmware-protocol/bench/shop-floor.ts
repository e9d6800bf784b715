import type { Prompt } from '../../../../firmware-protocol/bench/prompt.ts'
import type { Workshop } from '../../../../firmware-protocol/bench/workshop.ts'

export interface FloorOptions {
  readonly wantedDeg: number
  /** Degrees past the wanted angle at which the stop is called. */
  readonly pastDeg: number
  readonly toleranceDeg: number
}

/** What a very plain daemon would see and show: enough to make an operator work. */
export interface Floor {
  readonly prompts: Prompt[]
  readonly pedals: { readonly atS: number; readonly phase: Prompt['phase'] }[]
  step(seconds: number): void
  /** The person's own word at the page: what the pedal would mean now, or that the bend is closed. */
  press(): void
  close(): void
  nowS(): number
  bentDeg(): number
}

const EASE_DEG = 6

/** Steps a workshop in milliseconds, zeroes on the pedal, calls the stop, judges what stands. */
export function makeFloor(shop: Workshop, options: FloorOptions): Floor {
  const { wantedDeg, pastDeg, toleranceDeg } = options
  const prompts: Prompt[] = []
  const pedals: Floor['pedals'] = []
  let nowS = 0
  let datumDeg = 0
  let stopDeg = wantedDeg + pastDeg
  let truth = shop.truth()
  let prompt: Prompt = {
    phase: 'no-datum',
    cue: 'none',
    verdict: null,
    againDeg: null,
    hasJob: true,
  }
  const tell = (change: Partial<Prompt>): void => {
    prompt = { ...prompt, ...change }
    prompts.push(prompt)
  }

  function pressed(): void {
    if (prompt.phase === 'no-datum') {
      datumDeg = shop.angleDeg()
      stopDeg = wantedDeg + pastDeg
      tell({ phase: 'seated', cue: 'bend', verdict: null, againDeg: null })
    } else if (prompt.againDeg !== null) {
      stopDeg = prompt.againDeg
      tell({ phase: 'seated', cue: 'ease', verdict: null, againDeg: null })
    }
  }

  function judge(): void {
    const now = shop.truth()
    if (now === truth || now === null) return
    truth = now
    const missDeg = wantedDeg - now.releasedDeg
    const verdict = missDeg > toleranceDeg ? 'under' : missDeg < -toleranceDeg ? 'over' : 'in'
    const againDeg = verdict === 'under' ? now.peakDeg + missDeg : null
    tell({ phase: 'settled', cue: 'none', verdict, againDeg })
  }

  function watch(): void {
    const bentDeg = shop.angleDeg() - datumDeg
    if (prompt.phase === 'no-datum') return
    if (shop.sight().contact === 'free') tell({ phase: 'no-datum', cue: 'none' })
    else if (prompt.phase === 'settled') return
    else if (bentDeg > stopDeg - 0.5 && prompt.cue !== 'stop') tell({ cue: 'stop' })
    else if (bentDeg > stopDeg - EASE_DEG && prompt.cue === 'bend') tell({ cue: 'ease' })
  }
  return {
    prompts,
    pedals,
    nowS: () => nowS,
    bentDeg: () => shop.angleDeg() - datumDeg,
    press() {
      pressed()
      shop.show(prompt)
    },
    close: () => tell({ phase: 'no-datum', cue: 'none', verdict: null, againDeg: null }),
    step(seconds) {
      for (let left = Math.round(seconds * 1000); left > 0; left--) {
        nowS += 0.001
        shop.advance(0.001)
        for (const edge of shop.takePedal()) {
          if (edge === 'up') continue
          pedals.push({ atS: nowS, phase: prompt.phase })
          pressed()
        }
        judge()
        watch()
        shop.show(prompt)
      }
    },
  }
}
