import type { Front } from './part.ts'

/** A front whose board sends a pressure on its second channel. */
export const withPressure = (front: Front): Front => ({
  blocks: [...front.blocks, { id: 'pressure', kind: 'pressure' }],
  connections: [...front.connections, { from: 'decode.second', to: 'pressure.counts' }],
  gives: { ...front.gives, pressure: 'pressure.pressure' },
})

/** The same with a switch. */
export const withSwitch = (front: Front): Front => ({
  blocks: [...front.blocks, { id: 'switch', kind: 'switch' }],
  connections: [...front.connections, { from: 'decode.second', to: 'switch.counts' }],
  gives: { ...front.gives, switch: 'switch.closed' },
})
