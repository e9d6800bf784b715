export type PedalEdge = 'down' | 'up'

/** Whatever turns the die and works the pedal: a written trajectory, or the workshop with its operator. */
export interface Motion {
  advance(dtS: number): void
  /** The die, degrees on the bender's own scale; the sensor's zero is elsewhere. */
  angleDeg(): number
  /** The swing arm, where it moves by itself at times; left out: it moves with the die. */
  armDeg?(): number
  /** Pressure of the ram, bar; left out: none. */
  pressureBar?(): number
  /** Pedal edges since the last call, in order. */
  takePedal(): readonly PedalEdge[]
}
