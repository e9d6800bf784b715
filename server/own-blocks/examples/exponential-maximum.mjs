// A block of one's own: `overbend serve --blocks examples/blocks` loads it.
export default ({ defineBlock, number, strict, unitFrom, unitParameter, Type, BAD, NONE }) =>
  defineBlock({
    kind: 'exponential-maximum',
    summary: 'The largest value of late: follows up at once, falls back slowly.',
    parameters: strict({
      unit: unitParameter(['deg', 'bar', '1'], 'bar', 'Unit of the value.'),
      fallS: Type.Number({
        exclusiveMinimum: 0,
        maximum: 3600,
        default: 2,
        description: 'Time in which it falls back by 63 %, seconds.',
      }),
    }),
    inputs: { value: number(unitFrom('unit'), 'What is watched.') },
    outputs: { value: number(unitFrom('unit'), 'Its largest value of late.') },
    start: () => ({ started: false, lastS: 0, highest: 0 }),
    step(frame, memory, { fallS }, rows) {
      const { value: given } = frame.in
      const { value } = frame.out
      for (let row = 0; row < rows; row++) {
        const quality = given.quality[row]
        // No value in this row, none out of it.
        if (quality === NONE) {
          value.quality[row] = NONE
          continue
        }
        if (quality < BAD) {
          const now = given.value[row]
          const timeS = given.timeS[row]
          const share = Math.exp(-(timeS - memory.lastS) / fallS)
          const fallen = now + (memory.highest - now) * share
          memory.highest = memory.started ? Math.max(now, fallen) : now
          memory.started = true
          memory.lastS = timeS
        }
        // A bad value changes nothing: what was known stands, and is marked bad.
        value.value[row] = memory.highest
        value.quality[row] = quality
      }
    },
  })
