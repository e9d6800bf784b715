/** The texts of what is marked on a recorded trace. */
export const traceWords = {
  keys: 'What is marked on the trace',
  wanted: 'wanted, with its tolerance',
  stop: 'stop',
  cue: 'stop called',
  peak: 'peak',
  released: 'released',
  plateau: 'stood still',
} as const
