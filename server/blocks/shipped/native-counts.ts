import type { Front } from './part.ts'

/** The native protocol, an encoder's counts. */
export const nativeCounts: Front = {
  blocks: [
    { id: 'decode', kind: 'decode' },
    { id: 'clock', kind: 'clock' },
    { id: 'unwrap', kind: 'unwrap' },
    { id: 'scale', kind: 'scale' },
  ],
  connections: [
    { from: 'link.line', to: 'decode.line' },
    { from: 'decode.tick', to: 'clock.tick' },
    { from: 'decode.counts', to: 'clock.counts' },
    { from: 'decode.device', to: 'clock.device' },
    { from: 'clock.counts', to: 'unwrap.counts' },
    { from: 'clock.restart', to: 'unwrap.restart' },
    { from: 'decode.countsPerTurn', to: 'unwrap.countsPerTurn' },
    { from: 'decode.device', to: 'unwrap.device' },
    { from: 'unwrap.counts', to: 'scale.counts' },
    { from: 'decode.countsPerTurn', to: 'scale.countsPerTurn' },
  ],
  gives: {
    angle: 'scale.angle',
    counts: 'decode.counts',
    trouble: 'decode.trouble',
    device: 'decode.device',
    lost: 'unwrap.lost',
    pressure: null,
    switch: null,
  },
}
