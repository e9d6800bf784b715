/** Monotonic seconds and timers, handed in so that a simulated clock can stand in. */
export interface WebClock {
  nowS(): number
  after(seconds: number, act: () => void): { cancel(): void }
}

/** Takes one event worth keeping: a sentence, and the facts apart so that no input forges a line. */
export type Log = (sentence: string, facts: Readonly<Record<string, unknown>>) => void
