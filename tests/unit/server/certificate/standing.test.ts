import { execFileSync } from 'node:child_process'
import { describe, expect, test } from 'vitest'
import type { CertifiedBend } from '../../../../server/certificate/certificate.ts'
import { makeCertificate } from '../../../../server/certificate/make-certificate.ts'
import type { NewBend } from '../../../../server/messages/bends.ts'
import { inTurns } from '../../../../server/web/in-turns.ts'
import { skipWithout } from '../../../support/needs.ts'
import { certificateOf, certified } from './certificates.ts'

const IMPORTED: Partial<NewBend> = {
  simulated: false,
  ...{ releasedDeg: 90.17, checkedDeg: 90.17, releasedFrom: 'checked', goes: [] },
  ...{ calibration: 'not known: imported', chainRevision: 'not known: imported' },
  ...{ firmware: null, verification: null, software: '7.7.7' },
  imported: {
    ...{ file: 'rails 2019.csv', sha256: 'd'.repeat(64), line: 4, by: 'Quality' },
    at: '2026-01-30T23:30:00.000+01:00',
  },
}

/** Without raw lines, as nothing that was imported has any. */
function imported(n: number, changes: Partial<NewBend> = {}): CertifiedBend {
  const on = certified(n, { ...IMPORTED, ...changes }, { proof: null })
  return { ...on, bend: { ...on.bend, rawLines: 0 }, trace: { tS: [], angleDeg: [] } }
}

/** Read back by an independent reader of PDF (poppler, from Debian). */
describe.skipIf(skipWithout('pdftotext'))('what stands on a certificate', () => {
  async function read(...bends: CertifiedBend[]) {
    const input = await inTurns(makeCertificate(certificateOf(bends)))
    return execFileSync('pdftotext', ['-layout', '-', '-'], { input, encoding: 'utf8' })
  }
  const cellsOf = (text: string, id: number) =>
    text
      .split('\n')
      .map((line) => line.trim().split(/\s{2,}|(?<=^\d) /))
      .find(([, record]) => record === String(id)) ?? []

  test('imported bends are said to be so under the title, of which file, by whom and when', async () => {
    const text = await read(imported(1), imported(2))
    expect(text).toContain(
      'Imported from rails 2019.csv by Quality on 2026-01-30: no sensor saw these bends.',
    )
    expect(await read(certified(1))).not.toMatch(/mported/)
  })

  test('where only some were imported, how many and which', async () => {
    const text = await read(certified(1), imported(2), certified(3), imported(4))
    expect(text.replaceAll(/\s+/g, ' ')).toContain(
      '2 of 4 bends imported from rails 2019.csv by Quality on 2026-01-30: no sensor saw them (record 2, 4).',
    )
  })

  test('the one angle of a notebook does not stand there a second time as its own check', async () => {
    const text = await read(imported(1))
    expect(text.match(/90\.17°/g)).toHaveLength(1)
    expect(cellsOf(text, 1)).toContain('–')
    expect((await read(imported(1, { checkedDeg: 90.25 }))).match(/90\.25°/g)).toHaveLength(1)
    const seen = await read(certified(1, { releasedDeg: 90.17, checkedDeg: 90.17, goes: [] }))
    expect(seen.match(/90\.17°/g)?.length).toBeGreaterThan(1)
  })

  test('no software of today was in force when imported bends were made, nor was any check missed', async () => {
    const text = await read(imported(1))
    expect(text).not.toContain('7.7.7')
    expect(text).not.toContain('never checked')
    expect(text.match(/not known: imported/g)?.length).toBeGreaterThanOrEqual(6)
    expect(await read(imported(1), certified(2))).toContain('0.1.0 (record 2)')
  })

  test('bends without raw lines have one sentence and no empty picture', async () => {
    const text = await read(imported(1), imported(2))
    expect(text).toContain('No traces: no raw lines were kept of these bends.')
    expect(text).not.toContain('Angle over time')
    const some = await read(imported(1), certified(2))
    expect(some).toContain('No trace of record 1: no raw lines were kept.')
    expect(some).toContain('Bend 1 (record 2)')
    expect(some).not.toContain('Bend 1 (record 1)')
  })

  test('an amended lot stands beside the recorded one wherever a lot is read', async () => {
    const tube = { odMm: 38.1, wallMm: 1.65, material: '316l-annealed', lot: 'RT-2207' }
    const text = await read(certified(1, { tube }, { amended: { lot: 'RT-9999' } }))
    expect(text.match(/RT-2207, amended to RT-9999/g)).toHaveLength(2)
    const mixed = await read(
      certified(1, { tube }, { amended: { lot: 'RT-9999' } }),
      certified(2, { tube }),
    )
    expect(mixed).toContain('RT-2207, amended to RT-9999; RT-2207')
    expect(mixed).toContain('RT-2207, amended to RT-9999 (record 1)')
    // The second value stands under the first, not under what would stand beside it.
    expect(mixed).toMatch(
      /^ *lot +RT-2207, amended to RT-9999 \(record 1\)\n +RT-2207 \(record 2\)$/m,
    )
  })

  test('so do who bent it, the angle finder and what it said', async () => {
    const { job } = certified(1).bend
    const text = await read(
      certified(
        1,
        { checkedDeg: 90.1, job: { ...job, angleFinder: 'Finder 3' } },
        { amended: { operator: 'Юлия', gauge: 'Finder 4', checkedDeg: '90.2', bendNumber: '2' } },
      ),
    )
    expect(text).toContain(`${job.operator}, amended to Юлия`)
    expect(text).toContain('Finder 3, amended to Finder 4')
    expect(cellsOf(text, 1)).toContain('90.10°')
    expect(text).toMatch(/now 2\s+now 90\.20°/)
    expect(text).toContain('now: as amended since')
    expect(await read(certified(1, { checkedDeg: 90.1 }))).not.toMatch(/\bnow\b/)
  })

  test('what was taken back is nothing', async () => {
    const text = await read(certified(1, { checkedDeg: 90.1 }, { amended: { checkedDeg: null } }))
    expect(text).toMatch(/now –/)
  })
})
