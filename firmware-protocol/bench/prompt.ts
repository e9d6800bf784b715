/** What the person at the bender sees of the daemon's screen. Words as in the daemon's own messages. */
export interface Prompt {
  readonly phase: 'no-datum' | 'seated' | 'bending' | 'held' | 'letting-off' | 'settled'
  readonly cue: 'none' | 'bend' | 'ease' | 'stop' | 'over'
  /** Of the go that has just settled; null until then. */
  readonly verdict: 'in' | 'under' | 'over' | 'incomplete' | null
  /** Where to go again; null when there is nothing to gain. */
  readonly againDeg: number | null
  /** False until somebody has said what to bend. */
  readonly hasJob: boolean
}

/** A screen that shows nothing: the operator waits. */
export const BLANK_PROMPT: Prompt = {
  phase: 'no-datum',
  cue: 'none',
  verdict: null,
  againDeg: null,
  hasJob: false,
}
