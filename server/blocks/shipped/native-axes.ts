import type { Front } from './part.ts'

/** The native protocol, an accelerometer's axes. */
export const nativeAxes: Front = {
  blocks: [
    { id: 'decode', kind: 'decode' },
    { id: 'clock', kind: 'clock' },
    { id: 'tilt', kind: 'tilt' },
  ],
  connections: [
    { from: 'link.line', to: 'decode.line' },
    { from: 'decode.tick', to: 'clock.tick' },
    // The axes of a row share its time: one of them takes it along.
    { from: 'decode.x', to: 'clock.counts' },
    { from: 'decode.device', to: 'clock.device' },
    { from: 'clock.counts', to: 'tilt.x' },
    { from: 'decode.y', to: 'tilt.y' },
    { from: 'decode.z', to: 'tilt.z' },
    { from: 'decode.countsPerTurn', to: 'tilt.countsPerG' },
    { from: 'decode.device', to: 'tilt.device' },
  ],
  gives: {
    angle: 'tilt.angle',
    counts: 'decode.x',
    trouble: 'decode.trouble',
    device: 'decode.device',
    lost: 'tilt.lost',
    pressure: null,
    switch: null,
  },
}
