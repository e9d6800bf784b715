import {
  chmodSync,
  copyFileSync,
  existsSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  statSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test, vi } from 'vitest'
import { archive } from '../../../../server/commands/archive.ts'
import {
  archiveFrom,
  archivesIn,
  checkArchive,
  makeArchive,
} from '../../../../server/history/archive.ts'
import { openHistory } from '../../../../server/history/open.ts'
import { openReader, verifyFolder } from '../../../../server/history/reader.ts'
import { runCommand } from '../../../support/run-command.ts'
import { fillShop, lateRefusalOf, makeFolder, newBend, openShop, rawOf, tamper } from './shop.ts'

vi.setConfig({ testTimeout: 60_000 })

/** The shop's bends are of 5 January 2026; two more are of the year before. */
const LAST_YEAR = 2
const BENDS = 5
const IN_JUNE = Date.UTC(2026, 5, 1)
const order = { before: '2026-01-01', who: 'Quality', software: '0.1.0', wallMs: () => IN_JUNE }

let dir: string
let file: string
let remove: () => void
/** Where an archive is carried to. */
let stick: string

beforeEach(() => {
  ;({ dir, file, remove } = makeFolder())
  stick = mkdtempSync(join(tmpdir(), 'overbend-stick-'))
  const history = openShop(dir)
  for (let n = 1; n <= BENDS; n += 1) {
    const finishedAt = `2025-12-1${n}T09:30:12.345+01:00`
    const old = { startedAt: `2025-12-1${n}T09:30:00.000+01:00`, finishedAt }
    history.append(newBend(n, n <= LAST_YEAR ? old : {}), rawOf(n))
  }
  history.close()
})
afterEach(() => {
  remove()
  rmSync(stick, { recursive: true, force: true })
})

const record = (n: number) => {
  const history = openHistory(dir)
  const bend = history.append(newBend(n), rawOf(n))
  history.close()
  return bend
}

test('an archive is a whole history, read-only, noted at the last record of the year; nothing is taken out', async () => {
  const archived = await makeArchive(dir, order)
  expect(archived).toMatchObject({ records: BENDS, recordsBefore: LAST_YEAR, act: 1 })
  expect(archived.file).toBe(join(dir, 'archive', 'before-2026-01-01.sqlite'))
  expect(statSync(archived.file).mode & 0o222).toBe(0)
  expect(verifyFolder(archived.file, archived.head)).toMatchObject({ records: BENDS, intact: true })
  const history = openHistory(dir)
  expect(history.count()).toBe(BENDS)
  const [note] = history.actsOn(LAST_YEAR)
  expect(note).toMatchObject({ kind: 'note', who: 'Quality', after: { hash: archived.head } })
  expect(note).toMatchObject({ text: expect.stringContaining(archived.sha256) })
  history.close()
})

test('the chain goes on from it, on another disk and after more records, and it is searched by itself', async () => {
  const { file: written } = await makeArchive(dir, order)
  const carried = join(stick, 'year.sqlite')
  copyFileSync(written, carried)
  rmSync(written)
  expect(record(BENDS + 1).previousHash).toBe(verifyFolder(carried).head)
  expect(await checkArchive(dir, carried)).toEqual({
    ...{ file: carried, records: BENDS, intact: true, why: null, act: 1 },
  })
  chmodSync(stick, 0o555)
  const reader = openReader(carried)
  const found = [...reader.bends({ to: '2026-01-01', part: 'Rail' })].map(({ id }) => id)
  reader.close()
  chmodSync(stick, 0o755)
  expect(found).toEqual([2])
  const all = openReader(dir)
  expect([...all.bends({ to: '2026-01-01' })]).toHaveLength(LAST_YEAR)
  all.close()
})

test('a year later the next archive stands beside it, and both are of this history', async () => {
  await makeArchive(dir, order)
  record(BENDS + 1)
  await makeArchive(dir, { ...order, before: '2026-03-01' })
  const checked = []
  for (const each of archivesIn(dir)) checked.push(await checkArchive(dir, each))
  expect(checked.map(({ records, why, act }) => [records, why, act])).toEqual([
    [BENDS, null, 1],
    [BENDS + 1, null, 2],
  ])
})

test('an archive that was altered, or that nobody noted, or of another history, is told', async () => {
  const { file: written } = await makeArchive(dir, order)
  const altered = join(stick, 'altered.sqlite')
  copyFileSync(written, altered)
  chmodSync(altered, 0o644)
  tamper(altered, "UPDATE bend SET operator = 'x' WHERE id = 2")
  expect(await checkArchive(dir, altered)).toMatchObject({ intact: false, act: null })
  const history = openHistory(dir)
  const unnoted = join(stick, 'unnoted.sqlite')
  await history.backup(unnoted)
  history.close()
  expect((await checkArchive(dir, unnoted)).why).toMatch(/^No note/)
  fillShop(join(stick, 'other'), BENDS)
  expect((await checkArchive(dir, join(stick, 'other', 'overbend.sqlite'))).why).toMatch(
    /does not go on/,
  )
})

test.each([
  ['a day still to come', { before: '2026-06-02' }, 'HISTORY_BAD_QUERY'],
  ['a day with no record before it', { before: '2025-12-01' }, 'HISTORY_NOTHING_BEFORE'],
  ['no day at all', { before: 'last year' }, 'HISTORY_BAD_QUERY'],
  ['nobody', { who: '' }, 'HISTORY_BAD_ACT'],
])('%s is refused, and leaves no file and no note', async (_, change, code) => {
  expect((await lateRefusalOf(makeArchive(dir, { ...order, ...change }))).code).toBe(code)
  expect(archivesIn(dir)).toEqual([])
  expect(verifyFolder(dir).acts.entries).toBe(0)
})

test('an archive that is there stays; a daemon at work is not disturbed', async () => {
  const { file: written } = await makeArchive(dir, order)
  const before = readFileSync(written)
  expect((await lateRefusalOf(makeArchive(dir, order))).code).toBe('HISTORY_TAKEN')
  expect(readFileSync(written).equals(before)).toBe(true)
  const daemon = openHistory(dir)
  const refusal = await lateRefusalOf(makeArchive(dir, { ...order, before: '2026-02-01' }))
  expect(refusal.code).toBe('HISTORY_IN_USE')
  daemon.close()
})

test('of two asked for at once one is made, whole and noted, and the other is told so', async () => {
  const history = openHistory(dir)
  const all = await Promise.allSettled([
    archiveFrom(history, dir, order),
    archiveFrom(history, dir, order),
  ])
  history.close()
  expect(all.map(({ status }) => status).sort()).toEqual(['fulfilled', 'rejected'])
  expect(all.find((one) => one.status === 'rejected')?.reason).toMatchObject({
    code: 'HISTORY_TAKEN',
  })
  const [only = ''] = archivesIn(dir)
  expect(await checkArchive(dir, only)).toMatchObject({ intact: true, why: null, act: 1 })
  expect(verifyFolder(dir).acts.entries).toBe(1)
})

test('the command archives, checks what is there, and tells what is wrong', async () => {
  const none = await runCommand(archive, ['archive', '--data', dir])
  expect(none).toEqual({ text: `There is no archive in ${dir}.\n`, exitCode: 0 })
  const args = ['archive', '--data', dir, '--before', '2026-01-01', '--who', 'Quality']
  const { text } = await runCommand(archive, args)
  expect(text).toContain('2 of them from before 2026-01-01')
  const checked = await runCommand(archive, ['archive', '--data', dir])
  expect(checked.text).toContain('5 records, intact. The history goes on from it; noted as act 1.')
  const own = await runCommand(archive, ['archive', '--data', dir, file, '--json'])
  expect(own.exitCode).toBe(1)
  expect(JSON.parse(own.text)).toMatchObject([{ intact: true, act: null }])
  expect(existsSync(join(dir, 'archive'))).toBe(true)
})
