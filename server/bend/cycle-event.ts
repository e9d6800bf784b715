/** From what a released angle is known where the sensor does not see the tube stand still. */
export type ReleasedFrom = 'pressure' | 'switch' | 'touch' | 'checked'

/**
 * What the bend watch reports, in the order of a bend. Angles in degrees from the datum, times in seconds
 * on the chain's clock (the time that came with the samples).
 */
export type CycleEvent =
  /** Zero was taken here. `readoutDeg` is what the readout showed before it was taken off. */
  | { readonly kind: 'datum'; readonly timeS: number; readonly readoutDeg: number }
  /** The die moves under load: the bend has begun, or goes on after a pause or a stroke's end. */
  | {
      readonly kind: 'bending'
      readonly timeS: number
      readonly stroke: number
      readonly go: number
    }
  /** It stands still under load. */
  | { readonly kind: 'held'; readonly timeS: number; readonly angleDeg: number }
  /** The load is coming off; the peak of this go is known. */
  | {
      readonly kind: 'letting-off'
      readonly timeS: number
      readonly peakDeg: number
      readonly peakAtS: number
    }
  /** It stands still after letting off: this go is measured. May come again, better, as the plateau grows. */
  | {
      readonly kind: 'settled'
      readonly timeS: number
      readonly go: number
      readonly strokes: number
      readonly peakDeg: number
      readonly peakAtS: number
      readonly releasedDeg: number
      readonly releasedAtS: number
      readonly releasedSeDeg: number
      /** Not there when the die itself stood still. */
      readonly releasedFrom?: ReleasedFrom
    }
  /** Let off under a sensor that does not show where the tube stands: `settled` follows once that is known. */
  | {
      readonly kind: 'let-off'
      readonly timeS: number
      readonly go: number
      readonly strokes: number
      readonly peakDeg: number
      readonly peakAtS: number
    }
  /** What looked like a bend, or like another go, went back to where it began: nothing was bent. */
  | { readonly kind: 'false-start'; readonly timeS: number }
  /** The tube is out: the die was moved far from where it settled. The plateau before it stands. */
  | { readonly kind: 'taken-out'; readonly timeS: number }
  /**
   * Closed by a host line (`close …`) or by a new datum. `topDeg` is there when a go was still under load
   * or being let off: the highest angle seen of it.
   */
  | {
      readonly kind: 'closed'
      readonly timeS: number
      readonly reason: string
      readonly topDeg?: number
    }

/** The stop cue's report: a stage began. */
export interface CueEvent {
  readonly timeS: number
  readonly cue: 'none' | 'bend' | 'ease' | 'stop' | 'over'
  readonly angleDeg: number
  readonly rateDegPerS: number
}
