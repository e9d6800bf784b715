import { bodyBehind } from './on-the-die.ts'
import { type Front, type Part, wire } from './part.ts'

/**
 * From where the readout stands to the record, for a sensor on the arm: strokes are joined, and where the tube
 * stands after letting off comes from the load, a touch or an angle finder.
 */
export function onTheArm(front: Front): Part {
  const { pressure, switch: closed } = front.gives
  const seesLoad = pressure !== null || closed !== null
  const body = bodyBehind(front, 'join-strokes.angle', { losesSight: true })
  return {
    blocks: [
      ...(seesLoad ? [{ id: 'let-off', kind: 'let-off' }] : []),
      { id: 'join-strokes', kind: 'join-strokes' },
      ...body.blocks,
    ],
    connections: [
      ...(seesLoad ? LOAD : []),
      ...wire(pressure, 'let-off.pressure'),
      ...wire(closed, 'let-off.closed'),
      { from: 'datum.angle', to: 'join-strokes.angle' },
      { from: 'datum.datum', to: 'join-strokes.datum' },
      { from: 'command.command', to: 'join-strokes.command' },
      ...body.connections,
    ],
  }
}

const LOAD: Part['connections'] = [
  { from: 'datum.angle', to: 'let-off.angle' },
  { from: 'let-off.bears', to: 'join-strokes.bears' },
  { from: 'let-off.pressed', to: 'join-strokes.pressed' },
  { from: 'let-off.left', to: 'join-strokes.left' },
  { from: 'join-strokes.left', to: 'bend-watch.left' },
]
