import { execFileSync } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import type { Certificate, CertifiedBend } from '../../../../server/certificate/certificate.ts'
import { makeCertificate } from '../../../../server/certificate/make-certificate.ts'
import type { History } from '../../../../server/history/history.ts'
import type { Bend, NewBend } from '../../../../server/messages/bends.ts'
import { inTurns } from '../../../../server/web/in-turns.ts'
import { skipWithout } from '../../../support/needs.ts'
import { makeFolder, newBend, openShop, rawOf } from '../history/shop.ts'

/** What was drawn, read back by an independent reader of PDF (poppler, from Debian). */
describe.skipIf(skipWithout('pdftotext', 'pdfinfo', 'pdfdetach'))('a certificate', () => {
  let dir: string
  let remove: () => void
  let history: History
  let out: string
  beforeEach(() => {
    ;({ dir, remove } = makeFolder())
    history = openShop(dir)
    out = mkdtempSync(join(tmpdir(), 'overbend-paper-'))
  })
  afterEach(() => {
    history.close()
    remove()
    rmSync(out, { recursive: true })
  })

  const recorded = (n: number, changes: Partial<NewBend> = {}): Bend =>
    history.append(newBend(n, changes), rawOf(n))
  const onPaper = (bend: Bend, changes: Partial<CertifiedBend> = {}): CertifiedBend => ({
    bend,
    trace: { tS: [0, 1, 2, 3, 4], angleDeg: [0, 40, 93, 93, 90] },
    proof: 'proved-in',
    expandedDeg: bend.readout?.releasedExpandedDeg ?? null,
    isVoid: false,
    amended: {},
    deeds: [],
    ...changes,
  })
  const of = (bends: CertifiedBend[], changes: Partial<Certificate> = {}): Certificate => ({
    issuedAt: '2026-02-03T09:00:00.000+01:00',
    software: '0.1.0',
    records: 40,
    head: 'a'.repeat(64),
    seal: null,
    attachment: null,
    sheets: [{ part: 'Boarding rail BR-5', piece: 17, bends, gone: [] }],
    ...changes,
  })
  async function written(certificate: Certificate): Promise<string> {
    const file = join(out, 'certificate.pdf')
    writeFileSync(file, await inTurns(makeCertificate(certificate)))
    return file
  }
  const textOf = (file: string) =>
    execFileSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' })
  const read = async (certificate: Certificate) => textOf(await written(certificate))
  const pages = (file: string) =>
    Number(/Pages:\s+(\d+)/.exec(execFileSync('pdfinfo', [file], { encoding: 'utf8' }))?.[1])

  test('tells of each bend what was wanted, what came of it, and its place in the record', async () => {
    const bends = [1, 2, 3].map((n) => recorded(n))
    const text = await read(of(bends.map((bend) => onPaper(bend))))
    for (const { id, hash, bendNumber, releasedDeg, peakDeg, wantedDeg, toleranceDeg } of bends) {
      expect(text).toContain(hash)
      const row = text.split('\n').find((line) => {
        const [number, record] = line.trim().split(/\s+/)
        return number === String(bendNumber) && record === String(id)
      })
      expect(row).toContain(`${wantedDeg.toFixed(2)}° ± ${toleranceDeg.toFixed(2)}°`)
      expect(row?.trim().endsWith('proved in')).toBe(true)
      expect(row).toContain(`${peakDeg?.toFixed(2)}°`)
      expect(row).toContain(`${releasedDeg?.toFixed(2)}°`)
    }
    expect(text).toContain('a'.repeat(64))
    expect(text).toContain('Boarding rail BR-5, piece 17')
    expect(text).toContain('It approves nothing')
  })

  test('tells after which drawing it was bent, by which tolerance, and with which finder it was checked', async () => {
    const { job } = newBend(1)
    const toleranceBy = { toleranceClass: 'm', shorterLegMm: 100 } as const
    const named = { ...job, drawingRevision: 'C2', angleFinder: 'Finder 3', toleranceBy }
    const text = await read(of([onPaper(recorded(1, { job: named, checkedDeg: 90.1 }))]))
    for (const part of ['C2', 'Finder 3', 'ISO 2768-m, shorter leg 100 mm'])
      expect(text).toContain(part)
  })

  test('never tells an uncertainty smaller than it is, nor one that is not known', async () => {
    const known = recorded(1)
    const none = { calibration: null, check: null, standing: 'none', why: null } as const
    const readout = { ...none, releasedExpandedDeg: 0.1201 }
    const text = await read(of([onPaper({ ...known, readout })]))
    expect(text).toContain('± 0.13°')
    const { readout: _, ...unknown } = known
    expect(await read(of([onPaper(unknown)]))).toContain('± –')
  })

  test('counts a void bend apart and says who did what', async () => {
    const deeds = [
      { at: '2026-02-01T10:00:00+01:00', who: 'Юлия', what: 'void: <b>wrong</b> tube, שלום' },
    ]
    const text = await read(
      of([onPaper(recorded(1)), onPaper(recorded(2), { isVoid: true, deeds })]),
    )
    expect(text).toMatch(/1 bend: \d in tolerance, \d not\. 1 bend void, not counted\./)
    expect(text).toContain('VOID')
    expect(text).toContain('Юлия: void: <b>wrong</b> tube')
  })

  test('says plainly that simulated tube was none, and where there is no trace', async () => {
    const bend = recorded(1, { simulated: true })
    const text = await read(of([onPaper(bend, { trace: null })]))
    expect(text).toContain('SIMULATED')
    expect(text).toContain('cannot be run again here')
    expect(await read(of([onPaper({ ...bend, simulated: false })]))).not.toContain('SIMULATED')
  })

  test('goes on over pages, each of which says whose it is and how many there are', async () => {
    const bend = onPaper(recorded(1))
    const file = await written(of(Array.from({ length: 60 }, () => bend)))
    const count = pages(file)
    expect(count).toBeGreaterThan(3)
    const all = textOf(file).split('\f').slice(0, count)
    for (const [place, page] of all.entries()) {
      expect(page).toContain(`${place + 1} of ${count}`)
      expect(page).toContain('Boarding rail BR-5, piece 17')
    }
    const rows = textOf(file)
      .split('\n')
      .filter((line) => /^\s*\d+\s+1\s.*±/.test(line))
    expect(rows).toHaveLength(60)
  })

  test('gives each piece pages of its own', async () => {
    const bends = [onPaper(recorded(1))]
    const sheets = [17, 18, 19].map((piece) => ({ part: 'BR-5', piece, bends, gone: [] }))
    expect(pages(await written(of(bends, { sheets })))).toBe(3)
  })

  test('sets the caution in its own size wherever a page ends', async () => {
    const deed = { at: '2026-02-01T10:00:00+01:00', who: 'Q', what: 'note: “seen”' }
    const bend = recorded(1)
    const sheets = Array.from({ length: 36 }, (_, count) => ({
      ...{ part: 'BR-5', piece: count + 1, gone: [] },
      bends: [onPaper(bend, { deeds: Array.from({ length: count }, () => deed) }), onPaper(bend)],
    }))
    const file = await written(of([], { sheets }))
    expect(pages(file)).toBeGreaterThan(sheets.length)
    const text = execFileSync('pdftotext', ['-bbox', file, '-'], {
      encoding: 'utf8',
      maxBuffer: 50_000_000,
    })
    const heights = [...text.matchAll(/yMin="([\d.]+)"[^>]*yMax="([\d.]+)">approves</g)].map(
      ([, top, bottom]) => Number(bottom) - Number(top),
    )
    expect(heights).toHaveLength(sheets.length)
    expect(Math.max(...heights)).toBeLessThan(12)
  })

  test('tells of bends that are of another piece by now, and does not count them', async () => {
    const deeds = [{ at: '2026-02-01T10:00:00+01:00', who: 'Q', what: 'amended: piece' }]
    const [here, away] = [recorded(1), recorded(2)]
    const sheets = [
      { part: 'BR-5', piece: 17, bends: [onPaper(here)], gone: [{ bend: away, deeds }] },
    ]
    const text = await read(of([], { sheets }))
    expect(text).toMatch(/1 bend: \d in tolerance, \d not\./)
    expect(text).toContain('amended since, so not counted here: record 2.')
    expect(text).toContain('Q: amended: piece')
    expect(text).toContain(away.hash)
  })

  test('holds the records as a file, byte for byte', async () => {
    const bytes = Buffer.from('{"records":"ü, 日本, \\u0000"}\n')
    const attachment = { name: 'bends.json', bytes }
    const file = await written(of([onPaper(recorded(1))], { attachment }))
    execFileSync('pdfdetach', ['-saveall', '-o', out, file])
    expect(readdirSync(out)).toContain('bends.json')
    expect(readFileSync(join(out, 'bends.json'))).toEqual(bytes)
  })

  test('takes names of any length and any script, and angles that are not there', async () => {
    const bend = recorded(1)
    const none = { peakDeg: null, releasedDeg: null, commandedDeg: null, goes: [] }
    const names = ['x'.repeat(80), '日本語', '🙂🙂', 'مرحبا', '\u0000\u001b[31m', '<script>']
    const sheets = names.map((part) => ({
      part,
      piece: 1,
      gone: [],
      bends: [onPaper({ ...bend, ...none, operator: part })],
    }))
    const file = await written(of([], { sheets }))
    expect(pages(file)).toBe(names.length)
    expect(textOf(file)).not.toContain('NaN')
  })
})
