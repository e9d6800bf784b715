import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, test } from 'vitest'
import { openHistory } from '../../../../server/history/open.ts'
import type { Sensor } from '../../../../server/messages/sensor.ts'
import { newBend, rawOf, SETUP } from './shop.ts'

const folder = mkdtempSync(join(tmpdir(), 'overbend-sensor-'))
afterAll(() => rmSync(folder, { recursive: true }))

const SENSORS: readonly Sensor[] = [
  SETUP.sensor,
  {
    mount: 'arm',
    countsPerTurn: 4096,
    direction: 'reversed',
    turnDeg: 120.5,
    arm: { biteDeg: 12.5, backlashDeg: 1.25 },
    second: {
      kind: 'pressure',
      zeroCounts: -102,
      fullCounts: 921,
      fullBar: 250.5,
      letOffBar: 4.75,
    },
    autoDatum: true,
  },
  {
    mount: 'swing-tilt',
    countsPerTurn: 0,
    direction: 'forward',
    tiltOn: 'arm',
    axes: { sine: '-y', cosine: '+z' },
    spindleDeg: 12.5,
  },
  {
    mount: 'die',
    countsPerTurn: 0,
    direction: 'forward',
    second: { kind: 'switch', closedWhen: 'zero' },
  },
]

describe('a set-up with what is known of its sensor', () => {
  test('comes back as it was given, and its bends verify beside those of before', () => {
    const history = openHistory(folder)
    for (const [n, sensor] of SENSORS.entries()) {
      const { id } = history.addSetup({ ...SETUP, sensor })
      const { tube, ...setup } = SETUP
      history.append(newBend(n + 1, { setupId: id, tube, setup: { ...setup, sensor } }), rawOf(n))
    }
    expect(history.setups().map(({ setup }) => setup.sensor)).toEqual(SENSORS.toReversed())
    expect(SENSORS.map((_, n) => history.bend(n + 1)?.setup.sensor)).toEqual(SENSORS)
    expect(history.verify()).toMatchObject({ intact: true, records: SENSORS.length })
    history.close()
  })

  test('a bend whose released angle is not known says so, and verifies', () => {
    const history = openHistory(folder)
    const { goes, ...bend } = newBend(9)
    const go = { ...goes[0]!, releasedDeg: null, releasedSeDeg: null, releasedAtS: null }
    const unknown = { releasedDeg: null, releasedSeDeg: null, springbackDeg: null } as const
    const stored = history.append(
      {
        ...bend,
        ...unknown,
        releasedFrom: 'unknown',
        goes: [{ ...go, releasedFrom: 'unknown' }],
        verdict: 'incomplete',
        checkedDeg: null,
      },
      rawOf(9),
    )
    expect(history.bend(stored.id)).toMatchObject({
      ...unknown,
      releasedFrom: 'unknown',
      goes: [{ releasedFrom: 'unknown' }],
    })
    expect(history.verify()).toMatchObject({ intact: true })
    history.close()
  })
})
