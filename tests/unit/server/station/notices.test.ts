import { describe, expect, test } from 'vitest'
import { type Conditions, noticesFor } from '../../../../server/station/notices.ts'

const WELL: Conditions = {
  storage: null,
  unsaved: 0,
  lost: 0,
  originLost: null,
  sensorFault: false,
  noAimWhy: null,
  leftOpen: null,
  chain: null,
  drift: null,
  gap: null,
}

describe('notices', () => {
  test('none when all is well', () => {
    expect(noticesFor(WELL)).toEqual([])
  })
  test.each([
    [{ storage: 'The disk is full.' }, 'storage', 'fault'],
    [{ lost: 2 }, 'lost', 'fault'],
    [{ sensorFault: true }, 'sensor', 'fault'],
    [{ originLost: 'The board began anew.' }, 'origin', 'task'],
    [{ noAimWhy: 'This tube will not take a set on this radius.' }, 'no-aim', 'doubt'],
    [{ chain: 'Revision die-encoder r3 of the chain cannot run: it is old.' }, 'chain', 'doubt'],
    [{ leftOpen: 'Bend 3 was cut off.' }, 'left-open', 'doubt'],
    [{ drift: 'The last 3 bends sprang 0.8° more.' }, 'drift', 'doubt'],
    [{ gap: 'The readout shows 0.4° more.' }, 'readout-gap', 'doubt'],
  ] as const)('%j', (condition, id, kind) => {
    const notices = noticesFor({ ...WELL, ...condition })
    expect(notices).toHaveLength(1)
    expect(notices[0]).toMatchObject({ id, kind })
    expect(notices[0]?.text).toMatch(/\.$/)
    expect(notices[0]?.hint).toMatch(/\.$/)
  })
  test('the disk tells how many bends wait for it', () => {
    const [one] = noticesFor({ ...WELL, storage: 'The disk is full.', unsaved: 1 })
    const [two] = noticesFor({ ...WELL, storage: 'The disk is full.', unsaved: 2 })
    expect(one?.text).toBe('The disk is full. 1 bend waits in memory.')
    expect(two?.text).toBe('The disk is full. 2 bends wait in memory.')
  })
})
