import { execFileSync } from 'node:child_process'
import { createHash, createPublicKey, verify } from 'node:crypto'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import canonicalize from 'canonicalize'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { checkPaper, isPaper } from '../../../../server/history/check-paper.ts'
import { checkSignedFile } from '../../../../server/history/check-signed.ts'
import { checkingKeyOf, makeSigningKey, type SigningKey } from '../../../../server/history/key.ts'
import { SEAL_BEGIN, sealPaper } from '../../../../server/history/paper-seal.ts'
import { signedLines } from '../../../../server/history/signed-export.ts'
import { certifiedBy, paperOf } from '../../../../server/station/certificate-desk.ts'
import { altered, type Json } from '../../../support/altered.ts'
import { skipWithout } from '../../../support/needs.ts'
import { makeFolder, newBend, openShop, rawOf } from './shop.ts'

vi.setConfig({ testTimeout: 120_000, hookTimeout: 120_000 })

const PART = 'Boarding rail BR-5'
const AT = { at: '2026-01-06T08:00:00.000+01:00', software: '0.1.0' }
let dir: string
let remove: () => void
let key: SigningKey
let paper: Buffer
let unsigned: Buffer

/** A real certificate of a real folder, with names that are no ASCII. */
beforeAll(async () => {
  ;({ dir, remove } = makeFolder())
  const history = openShop(dir)
  for (let n = 1; n <= 3; n++)
    history.append(newBend(n, { job: { ...newBend(n).job, part: PART, piece: 17 } }), rawOf(n))
  history.addAct({
    ...{ schema: 1, kind: 'note', who: 'Юлия', whoKnownBy: 'password', bendId: 2 },
    ...{ ...AT, text: 'سكة 🔧' },
  })
  key = makeSigningKey(dir)
  const parts = {
    ...{ history: certifiedBy(history), software: '0.1.0' },
    clock: { wallMs: () => Date.UTC(2026, 0, 6) },
    trace: async () => ({ tS: [0, 1, 2], angleDeg: [0, 93, 90] }),
  }
  const lines = (filter: object) => signedLines(dir, { filter, key, ...AT })
  const ask = { part: PART, piece: 17 }
  paper = await paperOf({ ...parts, signing: { key, lines } }, ask)
  unsigned = await paperOf({ ...parts, signing: null }, ask)
  history.close()
})
afterAll(() => remove())

const check = (bytes: Buffer, publicPem = key.publicPem) =>
  checkPaper(bytes, checkingKeyOf(publicPem))
const parted = () => {
  const begin = paper.lastIndexOf(SEAL_BEGIN)
  return {
    pdf: paper.subarray(0, begin),
    seal: JSON.parse(paper.subarray(begin + SEAL_BEGIN.length).toString()) as Json,
  }
}
const with_ = (seal: unknown) =>
  Buffer.concat([parted().pdf, Buffer.from(`${SEAL_BEGIN}${canonicalize(seal)}\n`)])

test('as it was issued it is intact, and so are the records inside', () => {
  expect(isPaper(paper)).toBe(true)
  expect(check(paper)).toEqual({
    ...{ intact: true, why: null, bends: 3, acts: 1, at: AT.at, fingerprint: key.fingerprint },
  })
})

test('one altered byte anywhere is found, on paper, in the records and in the seal', () => {
  const begin = paper.lastIndexOf(SEAL_BEGIN)
  let tried = 0
  const step = (at: number) => (at < begin ? Math.min(199, begin - at) : 1)
  for (let at = 0; at < paper.length; at += step(at)) {
    const other = Buffer.from(paper)
    other[at] = (other[at] ?? 0) ^ 1
    const { intact, why } = check(other)
    expect([intact, why], String(at)).toEqual([false, expect.stringMatching(/^[^\n]+\.$/)])
    tried += 1
  }
  expect(tried).toBeGreaterThan(500)
})

test('each field of the seal, another or gone, is found; so is a byte more or less', () => {
  let tried = 0
  for (const other of altered(parted().seal)) {
    expect(check(with_(other)).intact, JSON.stringify(other)).toBe(false)
    tried += 1
  }
  expect(tried).toBeGreaterThan(10)
  for (const size of [0, 5, 1000, paper.length - 400, paper.length - 1])
    expect(check(paper.subarray(0, size)).intact, String(size)).toBe(false)
  for (const more of ['\n', ' ', '%%EOF\n'])
    expect(check(Buffer.concat([paper, Buffer.from(more)])).intact).toBe(false)
})

test('each fault has a sentence of its own', () => {
  const why = (bytes: Buffer, pem?: string) => check(bytes, pem).why
  const other = makeFolder()
  const otherPem = makeSigningKey(other.dir).publicPem
  other.remove()
  const { pdf, seal } = parted()
  expect(why(unsigned)).toContain('has no seal')
  expect(why(paper, otherPem)).toContain('signed with another key')
  expect(why(paper.subarray(0, -4))).toContain('cut off in its seal')
  expect(why(with_({ ...(seal as object), version: 2 }))).toContain('has version 2')
  const exchanged = Buffer.concat([
    Buffer.from(pdf.toString('latin1').replace('/Title', '/Titel'), 'latin1'),
    paper.subarray(pdf.length),
  ])
  expect(why(exchanged)).toContain('its bytes are not those that were signed')
})

test('records that somebody with the key put in altered are found by their own signature', () => {
  const lines = [...signedLines(dir, { filter: {}, key, ...AT })]
  const text = lines.join('').replace('"piece":17', '"piece":18')
  const forged = sealPaper(Buffer.from(`%PDF-1.7\n${text}\n%%EOF\n`), Buffer.from(text), key)
  expect(check(forged).why).toMatch(/^The records inside: .*altered/)
  expect(() => sealPaper(Buffer.from('%PDF-1.7\n'), Buffer.from(text), key)).toThrow(RangeError)
})

/** Ed25519 (RFC 8032) by the library of Node over the canonical form, without any code of ours. */
test('the seal is what the documents say it is', () => {
  const { pdf, seal } = parted()
  const { signature, ...signed } = seal as Record<string, unknown>
  expect(signed['bytes']).toBe(pdf.length)
  expect(signed['sha256']).toBe(createHash('sha256').update(pdf).digest('hex'))
  const text = Buffer.from(canonicalize(signed) ?? '')
  const open = createPublicKey(key.publicPem)
  expect(verify(null, text, open, Buffer.from(String(signature), 'base64'))).toBe(true)
})

describe.skipIf(skipWithout('pdfdetach', 'pdftotext'))('to another reader of PDF (poppler)', () => {
  test('it is a PDF as any, and the file inside is a signed export', () => {
    const out = mkdtempSync(join(tmpdir(), 'overbend-sealed-'))
    const file = join(out, 'certificate.pdf')
    writeFileSync(file, paper)
    const text = execFileSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' })
    execFileSync('pdfdetach', ['-saveall', '-o', out, file])
    const inside = join(out, 'bends-signed.jsonl')
    const records = readFileSync(inside, 'utf8')
    expect(text).toContain(key.fingerprint)
    expect(text.replaceAll(/\s/g, '')).toContain(
      (JSON.parse(records.trimEnd().split('\n').at(-1) ?? '') as { end: { signature: string } }).end
        .signature,
    )
    expect(checkSignedFile(inside, checkingKeyOf(key.publicPem))).toMatchObject({
      ...{ intact: true, bends: 3, acts: 1 },
    })
    rmSync(out, { recursive: true })
  })
})
