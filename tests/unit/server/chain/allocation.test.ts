import { describe, expect, test } from 'vitest'
import { bytesARow, chainAllocation } from '../../../support/chain-allocation.ts'
import { allocationChains } from '../../../support/chain-allocation-chains.ts'

const ROWS = 8192
const BATCH = 256
/** One number that is not left in a column or a field takes sixteen bytes in every row. */
const BYTES_A_ROW_MAX = 4
/** They hand out what others keep: a column of numbers, the lines, the counters of a batch. */
const HANDS_OUT: readonly string[] = ['live-feed', 'raw-record', 'device-feed']

describe('what a chain allocates while no bend goes on', async () => {
  const measured = await chainAllocation('general', ROWS, BATCH)
  const kinds = (allocationChains['general']?.blocks ?? []).map(({ kind }) => kind)

  test('every block of the chain was measured', () => {
    expect(Object.keys(measured.many).sort()).toEqual([...kinds].sort())
  })

  test.each(kinds.filter((kind) => !HANDS_OUT.includes(kind)))('%s: nothing a row', (kind) => {
    expect(bytesARow(measured, kind)).toBeLessThan(BYTES_A_ROW_MAX)
  })

  test('the meter sees what is allocated: four numbers and a line a row are handed out', () => {
    expect(bytesARow(measured, 'live-feed')).toBeGreaterThan(4 * 8)
    expect(bytesARow(measured, 'live-feed')).toBeLessThan(2 * 4 * 8)
    expect(bytesARow(measured, 'raw-record')).toBeGreaterThan(7)
    expect(bytesARow(measured, 'raw-record')).toBeLessThan(2 * 8)
  })
})
