import type { Notice } from '../messages/live.ts'
import type { Sensor } from '../messages/sensor.ts'
import type { Wire } from '../messages/wire.ts'
import { lacksCounts } from './front-for.ts'
import { type BoardSeen, wrongBoard } from './sensor-check.ts'
import { inPlaneOf, STANDARD_AXES, swingsUpright, tooFlat } from './swing-plane.ts'

/** As the block `tilt` has it: beyond this an angle is uncertain. */
const LEAN_MAX_DEG = 5

/** What is the matter with how the sensor of the set-up sits, as long as it is. */
export function sensorNotices(
  sensor: Sensor,
  { device, gravity }: BoardSeen,
  wire?: Wire,
): Notice[] {
  if (wire !== undefined && lacksCounts(wire, sensor))
    return [
      {
        id: 'no-counts-per-turn',
        kind: 'task',
        text: 'The sensor sends counts, and nobody has said how many make a turn.',
        hint: 'Enter the counts of a turn on the Sensor page.',
      },
    ]
  const wrong = wrongBoard(sensor, device)
  if (wrong !== null)
    return [
      {
        id: 'wrong-board',
        kind: 'fault',
        text: wrong,
        hint: 'Plug the other board in, or name the mount on the Set-up page.',
      },
    ]
  const isTilt = sensor.mount === 'swing-tilt' || sensor.mount === 'leg-tilt'
  if (!isTilt || gravity === null) return []
  const read = inPlaneOf(gravity, sensor.axes ?? STANDARD_AXES)
  if (!swingsUpright(read))
    return [
      {
        id: 'flat-swing',
        kind: 'fault',
        text: `There is no angle: ${tooFlat(read)}.`,
        hint: 'Turn the sensor until its axes lie in the swing; a flat swing needs an encoder.',
      },
    ]
  if (read.leanDeg <= LEAN_MAX_DEG) return []
  return [
    {
      id: 'leaning-sensor',
      kind: 'doubt',
      text: `Gravity lies ${read.leanDeg.toFixed(0)}° out of the plane that the sensor sees.`,
      hint: 'Turn the sensor until its axes lie in the plane of the swing.',
    },
  ]
}
