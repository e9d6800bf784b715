export type PedalEdge = 'down' | 'up'

/** Whatever turns the die and works the pedal: a written trajectory, or the workshop with its operator. */
export interface Motion {
  advance(dtS: number): void
  /** The die, degrees on the bender's own scale; the sensor's zero is elsewhere. */
  angleDeg(): number
  /** Pedal edges since the last call, in order. */
  takePedal(): readonly PedalEdge[]
}
