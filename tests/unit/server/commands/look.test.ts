import { chmodSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { gunzipSync } from 'node:zlib'
import { afterAll, afterEach, expect, test } from 'vitest'
import { BadInput } from '../../../../server/commands/command.ts'
import { appToLook, copyToLook, lookAt } from '../../../../server/commands/look.ts'
import { runCommand } from '../../../support/run-command.ts'
import { newBend, openShop, rawOf, SETUP, tamper } from '../history/shop.ts'

const BENDS = 5
const scratch = mkdtempSync(join(tmpdir(), 'overbend-look-test-'))
afterAll(() => rmSync(scratch, { recursive: true, force: true }))

const endings: (() => Promise<void> | void)[] = []
afterEach(async () => {
  for (const end of endings.splice(0).reverse()) await end()
})

let folders = 0
/** A backup of a shop that was in the middle of a bend. */
async function backupFile(): Promise<string> {
  folders += 1
  const dir = join(scratch, `shop-${folders}`)
  const history = openShop(dir, BENDS)
  const { id } = history.addSetup(SETUP)
  const { startedAt, job } = newBend(BENDS + 1)
  history.openBend({ startedAt, setupId: id, job, simulated: false })
  const file = join(dir, 'year.sqlite')
  await history.backup(file)
  history.close()
  chmodSync(file, 0o444)
  return file
}

async function looked(file: string) {
  const { history, records, remove } = await copyToLook(file)
  const app = appToLook(history, file, null)
  endings.push(
    remove,
    () => history.close(),
    () => app.close(),
  )
  await app.ready()
  return { app, history, records }
}

test('the file is searched over the web as the history is, and says what it is', async () => {
  const file = await backupFile()
  const { app, records } = await looked(file)
  expect(records).toBe(BENDS)
  const found = await app.inject('/api/bends?part=Rail&limit=10')
  expect(found.json().bends.map(({ id }: { id: number }) => id)).toEqual([4, 2])
  expect((await app.inject('/api/bends/3')).json()).toMatchObject({ id: 3, part: 'Ladder' })
  expect((await app.inject('/api/bends/export?to=2026-01-06')).body.split('\r\n')).toHaveLength(
    BENDS + 2,
  )
  expect((await app.inject('/api/history/verify')).json()).toMatchObject({ intact: true })
  const { notices, link } = (await app.inject('/api/station')).json()
  expect(notices).toMatchObject([{ id: 'look', text: expect.stringContaining('year.sqlite') }])
  expect(link).toMatchObject({ state: 'closed', source: file })
})

test('whatever would enter something is refused, and neither file nor copy is touched', async () => {
  const file = await backupFile()
  const before = readFileSync(file)
  const { app, history } = await looked(file)
  const heads = history.verify()
  const writing = app.mays.filter(({ method }) => !['GET', 'HEAD', 'OPTIONS'].includes(method))
  expect(writing.length).toBeGreaterThan(30)
  for (const { method, url } of writing) {
    const answer = await app.inject({
      method: method as 'POST',
      url: url.replace(':id', '1'),
      payload: { who: 'Quality', text: 'A note.' },
    })
    expect([url, answer.statusCode, answer.json().code]).toEqual([url, 403, 'only-to-look'])
  }
  expect(history.verify()).toEqual(heads)
  // The bend that was in hand is no record, and looking makes none of it.
  expect([history.count(), history.leftOpenAt()]).toEqual([BENDS, ['']])
  expect(readFileSync(file).equals(before)).toBe(true)
})

test('a file of the very first schema is brought up in the copy alone, which goes at the end', async () => {
  const file = join(scratch, 'first.sqlite')
  const data = join(import.meta.dirname, '../history/data/version-1.sqlite.gz')
  writeFileSync(file, gunzipSync(readFileSync(data)), { mode: 0o444 })
  const before = readFileSync(file)
  const { history, records, remove } = await copyToLook(file)
  expect(history.page({ limit: 1 }).total).toBe(records)
  expect(records).toBeGreaterThan(0)
  history.close()
  remove()
  expect(readFileSync(file).equals(before)).toBe(true)
  expect(existsSync(`${file}-wal`)).toBe(false)
})

test('a history that a daemon records to is looked at as it stands at that moment', async () => {
  const dir = join(scratch, 'running')
  const daemon = openShop(dir)
  endings.push(() => daemon.close())
  daemon.append(newBend(1), rawOf(1))
  const { records } = await looked(dir)
  daemon.append(newBend(2), rawOf(2))
  expect([records, daemon.count()]).toEqual([1, 2])
})

test.each([
  ['no file', async () => join(scratch, 'none.sqlite'), /There is no bend history/],
  [
    'a text',
    async () => {
      const file = join(scratch, 'text.sqlite')
      writeFileSync(file, 'Bends.\n')
      return file
    },
    /text\.sqlite/,
  ],
  [
    'a file that was altered',
    async () => {
      const file = await backupFile()
      chmodSync(file, 0o644)
      tamper(file, "UPDATE bend SET operator = 'x' WHERE id = 2")
      return file
    },
    /not an intact history/,
  ],
])('%s is refused in one sentence', async (_, fileOf, sentence) => {
  const refusal: unknown = await runCommand(lookAt, ['look', await fileOf()]).catch(
    (error) => error,
  )
  expect(refusal).toBeInstanceOf(BadInput)
  expect((refusal as Error).message).toMatch(sentence)
})

test('a port that is none is refused before anything is copied', async () => {
  await expect(runCommand(lookAt, ['look', 'x', '--port', '70000'])).rejects.toThrow(
    '--port takes a whole number from 0 to 65535, got 70000.',
  )
})
