import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { catalogue } from '../../server/blocks/index.ts'
import { openHistory } from '../../server/history/open.ts'
import type { BendTrace } from '../../server/messages/bends.ts'
import { rerun } from '../../server/station/rerun.ts'
import { skipWithout } from '../support/needs.ts'
import { makeTtyRig } from '../support/tty-rig.ts'

const PEDAL = [{ pedal: 'down' }, { pedal: 'up' }]
const BEND = [
  { holdS: 2 },
  ...PEDAL,
  { holdS: 1 },
  { moveToDeg: 20, rateDegPerS: 12 },
  { holdS: 0.6 },
  { moveToDeg: 32, rateDegPerS: 8 },
  { holdS: 0.8 },
  { letOffDeg: 1.2, tauS: 0.08 },
  { holdS: 2.5 },
  ...PEDAL,
  { holdS: 3600 },
]

describe.skipIf(skipWithout('socat'))('a bend recorded over a real tty', () => {
  test('comes out of its stored lines again, bit for bit', async (context) => {
    const rig = await makeTtyRig(context, { port: 'tty' })
    await rig.plug('tty', { script: { segments: BEND } })
    const bend = await rig.bend(1)
    const trace = await rig.daemon.get<BendTrace>(`/api/bends/${bend.id}/trace`)
    await rig.daemon.stop()

    const history = openHistory(join(rig.folder, 'data'))
    const raw = history.raw(bend.id)
    history.close()
    if (raw === null) throw new Error('the bend has no lines')
    const again = await rerun(raw, catalogue)
    expect(again.drafts).toHaveLength(1)
    expect(again.drafts[0]).toMatchObject({
      goes: bend.goes,
      datumDeg: bend.datumDeg,
      closedBy: bend.closedBy,
    })
    expect(again.trace).toEqual(trace)
    expect(Math.max(...trace.angleDeg)).toBeCloseTo(32, 0)
  })
})
