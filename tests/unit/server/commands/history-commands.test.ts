import { spawn, spawnSync } from 'node:child_process'
import { once } from 'node:events'
import {
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  truncateSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout } from 'node:timers/promises'
import Database from 'better-sqlite3'
import { Command, CommanderError } from 'commander'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { backup } from '../../../../server/commands/backup.ts'
import { BadInput } from '../../../../server/commands/command.ts'
import { exportBends } from '../../../../server/commands/export.ts'
import { restore } from '../../../../server/commands/restore.ts'
import { verify } from '../../../../server/commands/verify.ts'
import { makeSigningKey } from '../../../../server/history/key.ts'
import { openHistory } from '../../../../server/history/open.ts'
import type { Bend } from '../../../../server/messages/bends.ts'
import { programArgs } from '../../../support/programs.ts'
import { fillShop, newBend, openShop, rawOf, tamper } from '../history/shop.ts'

// Every test starts the command as a process of its own.
vi.setConfig({ testTimeout: 120_000, hookTimeout: 120_000 })

const PROCESS = programArgs('server/main.ts')
const BENDS = 12
const scratch = mkdtempSync(join(tmpdir(), 'overbend-commands-'))
const data = join(scratch, 'data')
const bent = join(scratch, 'bent')
const at = (name: string) => join(scratch, name)
let head: string

interface Outcome {
  readonly status: number
  readonly stdout: string
  readonly stderr: string
}

/** The command in this process, with the exit codes of `server/main.ts`. */
async function overbend(...args: string[]): Promise<Outcome> {
  const program = new Command('overbend')
    .exitOverride()
    .configureOutput({ writeErr: () => undefined })
  for (const add of [verify, backup, restore, exportBends]) add(program)
  let stdout = ''
  const written = vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    stdout += String(text)
    return true
  })
  try {
    await program.parseAsync(args, { from: 'user' })
    return { status: Number(process.exitCode ?? 0), stdout, stderr: '' }
  } catch (error) {
    const isInput = error instanceof BadInput || error instanceof CommanderError
    return { status: isInput ? 2 : 1, stdout, stderr: (error as Error).message }
  } finally {
    written.mockRestore()
    process.exitCode = undefined
  }
}

/** The command as a process of its own. */
function overbendProcess(...args: string[]): Outcome {
  const { status, stdout, stderr } = spawnSync(process.execPath, [...PROCESS, ...args], {
    encoding: 'utf8',
  })
  return { status: status ?? -1, stdout, stderr }
}

/** The one sentence of a refusal; fails if there is more, or anything on standard output. */
async function sentenceOf(status: number, ...args: string[]): Promise<string> {
  const refused = await overbend(...args)
  expect(refused).toMatchObject({ status, stdout: '' })
  expect(refused.stderr).toMatch(/^[^\n]+$/)
  return refused.stderr
}

async function jsonOf(...args: string[]): Promise<Record<string, unknown>> {
  return JSON.parse((await overbend(...args)).stdout)
}

beforeAll(() => {
  // A pipe into it that is not ended leaves its listeners; one process does that once, this one often.
  process.stdout.setMaxListeners(100)
  fillShop(data, BENDS)
  const history = openHistory(data)
  head = history.verify().head
  history.close()
  fillShop(bent, 5)
  tamper(join(bent, 'overbend.sqlite'), "UPDATE bend SET lot = 'L-9' WHERE id = 3")
})
afterAll(() => rmSync(scratch, { recursive: true, force: true }))

describe('verify', () => {
  test('tells an intact history, in words and as JSON', async () => {
    const spoken = await overbend('verify', '--data', data)
    expect(spoken).toMatchObject({ status: 0, stderr: '' })
    expect(spoken.stdout).toContain(`${BENDS} records, intact`)
    expect(spoken.stdout).toContain(head)
    expect(await jsonOf('verify', '--data', data, '--json')).toEqual({
      records: BENDS,
      intact: true,
      firstBroken: null,
      why: null,
      head,
      readout: { entries: 0, firstBroken: null, head: '0'.repeat(64) },
      acts: { entries: 0, firstBroken: null, head: '0'.repeat(64) },
      chains: { entries: 0, firstBroken: null, head: '0'.repeat(64) },
      people: { entries: 0, firstBroken: null, head: '0'.repeat(64) },
      exports: { entries: 0, firstBroken: null, head: '0'.repeat(64) },
    })
  })

  test('tells the first broken record and exits 1', async () => {
    const { status, stdout } = await overbend('verify', '--data', bent, '--json')
    expect(JSON.parse(stdout)).toMatchObject({ records: 5, intact: false, firstBroken: 3 })
    expect(status).toBe(1)
    const spoken = await overbend('verify', '--data', bent)
    expect(spoken.stdout).toContain('NOT intact. Record 3')
  })

  test('a head kept elsewhere must be there', async () => {
    const kept = await overbend('verify', '--data', data, '--head', head.toUpperCase())
    expect(kept.status).toBe(0)
    const cut = await overbend('verify', '--data', data, '--head', 'a'.repeat(64), '--json')
    expect(cut.status).toBe(1)
    expect(JSON.parse(cut.stdout)).toMatchObject({ intact: false, firstBroken: null })
    expect(await sentenceOf(2, 'verify', '--data', data, '--head', 'abc')).toContain('--head')
  })

  test('a file too short to open is not intact', async () => {
    fillShop(at('short'), 5)
    truncateSync(join(at('short'), 'overbend.sqlite'), 16_384)
    const { status, stdout } = await overbend('verify', '--data', at('short'), '--json')
    expect(JSON.parse(stdout)).toMatchObject({ intact: false, firstBroken: null })
    expect(status).toBe(1)
  })
})

describe('bad input is one sentence and exit 2', () => {
  test('no folder, a missing folder, a foreign file', async () => {
    expect(await sentenceOf(2, 'verify')).toContain('--data')
    for (const command of [['verify'], ['export'], ['backup', at('x.sqlite')]])
      expect(await sentenceOf(2, ...command, '--data', at('nowhere'))).toContain(at('nowhere'))
    expect(existsSync(at('nowhere'))).toBe(false)
    expect(existsSync(at('x.sqlite'))).toBe(false)
    fillShop(at('foreign'), 0)
    writeFileSync(join(at('foreign'), 'overbend.sqlite'), 'text')
    expect(await sentenceOf(2, 'verify', '--data', at('foreign'))).toContain('not an Overbend')
  })

  test('an unknown flag, a missing file, too many of them', async () => {
    expect(await sentenceOf(2, 'verify', '--data', data, '--colour')).toContain('--colour')
    expect(await sentenceOf(2, 'backup', '--data', data)).toContain('file')
    expect(await sentenceOf(2, 'restore', '--data', at('place'), 'a', 'b')).toContain('arguments')
  })
})

describe('backup and restore', () => {
  test('a round trip, in words and as JSON', async () => {
    const told = await jsonOf('backup', '--data', data, at('b.sqlite'), '--json')
    expect(told).toEqual({ records: BENDS, sha256: expect.stringMatching(/^[0-9a-f]{64}$/) })
    const restored = await jsonOf('restore', '--data', at('place'), at('b.sqlite'), '--json')
    expect(restored).toEqual({ ...told, keptAside: null, asideChecked: null })
    expect((await jsonOf('verify', '--data', at('place'), '--json'))['head']).toBe(head)
  })

  test('where a key signs exports, a backup says that it is not in it', async () => {
    fillShop(at('keyed'), 2)
    const backUp = (name: string) => overbend('backup', '--data', at('keyed'), at(name))
    expect((await backUp('k1.sqlite')).stdout).not.toContain('key')
    makeSigningKey(at('keyed'))
    const { stdout } = await backUp('k2.sqlite')
    expect(stdout).toContain(`Not in it: the key that signs exports, ${at('keyed')}`)
    expect(stdout).toContain('overbend-public.pem with the copy')
    const told = await jsonOf('backup', '--data', at('keyed'), at('k3.sqlite'), '--json')
    expect(Object.keys(told)).toEqual(['records', 'sha256'])
  })

  test('nothing that is there is overwritten unless told to', async () => {
    fillShop(at('there'), 3)
    const records = async () => (await jsonOf('verify', '--data', at('there'), '--json'))['records']
    await overbend('backup', '--data', data, at('c.sqlite'))
    for (const command of [
      ['backup', '--data', at('there'), at('c.sqlite')],
      ['restore', '--data', at('there'), at('c.sqlite')],
    ])
      expect(await sentenceOf(2, ...command)).toContain('--replace')
    expect(await records()).toBe(3)
    const done = await overbend('restore', '--data', at('there'), at('c.sqlite'), '--replace')
    expect(done.stdout).toContain('The history before is')
    expect(readdirSync(at('there')).join()).toContain('overbend-replaced-')
    expect(await records()).toBe(BENDS)
  })

  test('a broken backup is bad input; a broken history is a failure', async () => {
    const file = join(bent, 'overbend.sqlite')
    expect(await sentenceOf(2, 'restore', '--data', at('p1'), file)).toContain('Record 3')
    const nothing = at('nothing')
    expect(await sentenceOf(2, 'restore', '--data', at('p1'), nothing)).toContain(nothing)
    expect(await sentenceOf(1, 'backup', '--data', bent, at('d.sqlite'))).toContain('Record 3')
    expect(existsSync(at('d.sqlite'))).toBe(false)
  })
})

describe('as processes of their own, while the folder is held', () => {
  test('backup, verify and export work, restore does not', async () => {
    const history = openShop(at('held'), 2)
    expect(overbendProcess('backup', '--data', at('held'), at('e.sqlite')).status).toBe(0)
    const verified = overbendProcess('verify', '--data', at('held'), '--json')
    expect(verified).toMatchObject({ status: 0, stderr: '' })
    expect(JSON.parse(verified.stdout)).toMatchObject({ records: 2, intact: true })
    const exported = overbendProcess('export', '--data', at('held'), '--json')
    expect(JSON.parse(exported.stdout)).toHaveLength(2)
    const args = ['restore', '--data', at('held'), at('e.sqlite'), '--replace'] as const
    const refused = overbendProcess(...args)
    expect(refused).toMatchObject({ status: 1, stdout: '' })
    expect(refused.stderr).toMatch(/^overbend: [^\n]+\.\n$/)
    expect(refused.stderr).toContain(`process ${process.pid}`)
    history.append(newBend(3), rawOf(3))
    expect(history.verify()).toMatchObject({ records: 3, intact: true })
    history.close()
  })

  test('exit codes 1 and 2', () => {
    expect(overbendProcess('verify', '--data', bent).status).toBe(1)
    expect(overbendProcess('verify', '--data', at('nowhere')).status).toBe(2)
  })
})

describe('export', () => {
  const bendsOf = async (...args: string[]) =>
    (await jsonOf('export', '--data', data, '--format', 'json', ...args)) as unknown as Bend[]
  const textOf = async (...args: string[]) =>
    (await overbend('export', '--data', data, ...args)).stdout

  test('JSON is every bend, oldest first; CSV has a line for each', async () => {
    const bends = await bendsOf()
    expect(bends.map(({ id }) => id)).toEqual(Array.from({ length: BENDS }, (_, i) => i + 1))
    expect(bends.at(-1)?.hash).toBe(head)
    expect(await bendsOf('--json')).toEqual(bends)
    const text = await textOf()
    expect(text.split('\r\n')).toHaveLength(BENDS + 2)
    expect(await textOf('--bom')).toBe(`\uFEFF${text}`)
  })

  test('filters by time, part and lot', async () => {
    const starts = (await bendsOf()).map(({ startedAt }) => startedAt)
    const ids = async (...args: string[]) => (await bendsOf(...args)).map(({ id }) => id)
    expect(await ids('--from', starts[2]!, '--to', starts[5]!)).toEqual([3, 4, 5])
    expect(await ids('--part', 'Rail', '--to', starts[6]!)).toEqual([2, 4, 6])
    expect(await ids('--lot', 'L-9')).toEqual([])
    expect(await ids('--lot', 'L-1')).toHaveLength(BENDS)
  })

  test('takes all that a page of the history finds by its address', async () => {
    const all = await bendsOf()
    const ids = async (...args: string[]) => (await bendsOf(...args)).map(({ id }) => id)
    const page = 'http://127.0.0.1:8737/#/history?part=Rail&lot=+&voided=no&before=7'
    const rails = all.filter(({ job }) => job.part === 'Rail').map(({ id }) => id)
    expect(rails.length).toBeGreaterThan(1)
    expect(await ids('--filter', page)).toEqual(rails)
    const ofOne = 'http://127.0.0.1:8737/?station=north#/history/charts?part=Rail'
    expect(await ids('--filter', ofOne)).toEqual(rails)
    expect(await ids('--filter', 'http://x/?station=north#/history')).toHaveLength(BENDS)
    expect(await ids('--filter', 'part=Rail', '--piece', String(all[3]!.job.piece))).toEqual(
      all
        .filter(({ job }) => job.part === 'Rail' && job.piece === all[3]!.job.piece)
        .map(({ id }) => id),
    )
    expect(await ids('--filter', 'readout=failed')).toEqual([])
    expect(await ids('--filter', `firstDay=${all[0]!.startedAt.slice(0, 10)}`)).toHaveLength(BENDS)
  })

  test('into a file, whole or not at all, never over one unless told to', async () => {
    const out = at('bends.csv')
    const told = await jsonOf('export', '--data', data, '--out', out, '--json')
    expect(told).toEqual({ records: BENDS, file: out, format: 'csv' })
    expect(readFileSync(out, 'utf8')).toBe(await textOf())
    expect(await sentenceOf(2, 'export', '--data', data, '--out', out)).toContain('--replace')
    expect(await textOf('--out', out, '--replace', '--lot', 'L-9')).toContain('0 records')
    expect(readFileSync(out, 'utf8').split('\r\n')).toHaveLength(2)
    const own = join(data, 'overbend.sqlite')
    await sentenceOf(2, 'export', '--data', data, '--out', own, '--replace')
    await sentenceOf(2, 'export', '--data', data, '--out', join(at('no'), 'folder.csv'))
    const copy = at('copy.sqlite')
    await overbend('backup', '--data', data, copy)
    const other = new Database(at('other.sqlite'))
    other.exec('CREATE TABLE t (a)')
    other.close()
    for (const kept of [copy, at('other.sqlite')]) {
      const before = readFileSync(kept)
      const sentence = await sentenceOf(2, 'export', '--data', data, '--out', kept, '--replace')
      expect(sentence).toContain('never written over')
      expect(readFileSync(kept).equals(before)).toBe(true)
    }
    expect((await overbend('verify', '--data', data)).status).toBe(0)
    expect(readdirSync(scratch).filter((name) => name.endsWith('.partial'))).toEqual([])
  })

  test.each([
    ['a certificate of everything', ['--format', 'pdf'], 'which part'],
    ['a certificate of nothing', ['--format', 'pdf', '--part', 'none'], 'No bend'],
    ['a certificate of days', ['--format', 'pdf', '--from', '2026-01-01'], 'leave out from'],
    [
      'a certificate of a verdict',
      ['--format', 'pdf', '--filter', 'part=Rail&verdict=in'],
      'verdict',
    ],
    [
      'a condition that there is not',
      ['--filter', '#/history?moon=full'],
      '"moon" is not known here',
    ],
    ['a choice that there is not', ['--filter', 'verdict=good'], 'verdict must be one of "in"'],
    ['a piece that is no number', ['--filter', 'piece=ten'], 'piece must be an integer'],
    ['a condition without its value', ['--filter', 'part BR-5'], 'takes the address'],
    ['the address of one bend', ['--filter', 'http://x/#/history/12'], 'takes the address'],
    ['the address of another page', ['--filter', 'http://x/?station=a#/bend'], 'takes the address'],
    ['a day of a filter that the calendar lacks', ['--filter', 'firstDay=2026-02-30'], 'firstDay'],
    ['a piece that is none', ['--piece', '0'], '--piece'],
    ['an unknown format', ['--format', 'xml'], 'xml'],
    ['a start that is none', ['--from', 'monday'], '--from'],
    ['a day that the calendar lacks', ['--to', '2026-02-30'], '--to'],
    ['two documents on one output', ['--json', '--format', 'csv'], '--out'],
    ['a part longer than any', ['--part', 'x'.repeat(81)], 'part'],
  ])('%s is refused', async (_, args, names) => {
    expect(await sentenceOf(2, 'export', '--data', data, ...args)).toContain(names)
  })

  test('a certificate, signed once there is a key, is verified by the public key alone', async () => {
    const [folder, out] = [at('certified'), at('certificate.pdf')]
    fillShop(folder, BENDS)
    const args = ['export', '--data', folder, '--format', 'pdf', '--part', 'Rail', '--out', out]
    const checked = ['verify', out, '--key', join(folder, 'overbend-public.pem')]
    expect((await overbend(...args)).status).toBe(0)
    expect(readFileSync(out).subarray(0, 5).toString()).toBe('%PDF-')
    makeSigningKey(folder)
    const unsigned = await overbend(...checked)
    expect([unsigned.status, unsigned.stdout]).toEqual([1, expect.stringContaining('no seal')])
    expect(await jsonOf(...args, '--replace', '--json')).toEqual({ file: out, format: 'pdf' })
    const spoken = await overbend(...checked)
    expect([spoken.status, spoken.stdout]).toEqual([
      0,
      expect.stringMatching(/^Certificate, unaltered; inside \d+ bends and 0 acts of .*, intact/),
    ])
    expect(await jsonOf(...checked, '--json')).toMatchObject({ intact: true, why: null })
  })

  describe('of 120 MB', () => {
    const big = at('big')
    const COUNT = 3000
    beforeAll(() => {
      fillShop(big, COUNT, { calibration: 'x'.repeat(40_000) })
    })

    test('in a heap of 64 MB, to a reader that takes its time, loses nothing', async () => {
      const args = ['--max-old-space-size=64', ...PROCESS, 'export', '--data', big, '--json']
      const child = spawn(process.execPath, args, { stdio: ['ignore', 'pipe', 'inherit'] })
      const exited = once(child, 'exit')
      let bytes = 0
      let lineFeeds = 0
      for await (const chunk of child.stdout) {
        bytes += (chunk as Buffer).length
        lineFeeds += (chunk as Buffer).toString('latin1').split('\n').length - 1
        if (bytes % 7 === 0) await setTimeout(1)
      }
      expect(await exited).toEqual([0, null])
      expect(bytes).toBeGreaterThan(120_000_000)
      // One before each bend, one after the last and one after the bracket.
      expect(lineFeeds).toBe(COUNT + 2)
    })

    test('to a reader that has seen enough ends quietly', async () => {
      const args = [...PROCESS, 'export', '--data', big]
      const child = spawn(process.execPath, args, { stdio: ['ignore', 'pipe', 'pipe'] })
      let complaint = ''
      child.stderr.on('data', (chunk: Buffer) => {
        complaint += chunk.toString()
      })
      await once(child.stdout, 'data')
      child.stdout.destroy()
      expect(await once(child, 'exit')).toEqual([0, null])
      expect(complaint).toBe('')
    })
  })
})
