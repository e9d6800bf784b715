import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterAll, afterEach, describe, expect, test } from 'vitest'
import { type Daemon, overbend } from '../support/daemon.ts'
import { startHere } from '../support/daemon-here.ts'

const serve = (data: string) => overbend(['serve', '--port', '0', '--bench', '--data', data])
const ONE_SENTENCE = /^overbend: [^\n]+\.\n$/

describe('a data folder that is not this daemon’s to use', () => {
  const folder = mkdtempSync(join(tmpdir(), 'overbend-folder-'))
  let daemon: Daemon | undefined
  afterEach(() => daemon?.stop())
  afterAll(() => rmSync(folder, { recursive: true }))

  test('in use by another daemon: refused, by its number; the first one goes on', async () => {
    const data = join(folder, 'shared')
    daemon = await startHere(['--bench', '--data', data])
    const { code, out, errors } = await serve(data)
    expect({ code, out }).toEqual({ code: 2, out: '' })
    expect(errors).toMatch(ONE_SENTENCE)
    expect(errors).toMatch(/in use/)
    expect(errors).toContain(String(daemon.pid))
    expect(await daemon.get('/api/health')).toMatchObject({ ok: true })
  })

  test('of another program: refused, and left as it is', async () => {
    const data = join(folder, 'foreign')
    await (await startHere(['--bench', '--data', data])).stop()
    const file = join(data, 'overbend.sqlite')
    rmSync(file)
    const foreign = new Database(file)
    foreign.exec('CREATE TABLE recipe (cake TEXT); INSERT INTO recipe VALUES (1)')
    foreign.close()
    const { code, errors } = await serve(data)
    expect(code).toBe(2)
    expect(errors).toMatch(/not an Overbend history/)
    const again = new Database(file)
    expect(again.prepare('SELECT count(*) AS n FROM recipe').get()).toEqual({ n: 1 })
    again.close()
  })

  test('of a newer version: refused, and says so', async () => {
    const data = join(folder, 'newer')
    await (await startHere(['--bench', '--data', data])).stop()
    const file = new Database(join(data, 'overbend.sqlite'))
    file.pragma('user_version = 999')
    file.close()
    const { code, errors } = await serve(data)
    expect(code).toBe(2)
    expect(errors).toMatch(ONE_SENTENCE)
    expect(errors).toMatch(/newer/)
  })
})
