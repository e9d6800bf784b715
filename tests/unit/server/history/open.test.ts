import { spawn } from 'node:child_process'
import { once } from 'node:events'
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  readFileSync,
  renameSync,
  rmSync,
  truncateSync,
  writeFileSync,
} from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { openHistory } from '../../../../server/history/open.ts'
import { openReader } from '../../../../server/history/reader.ts'
import { makeFolder, newAct, newBend, openShop, rawOf, refusalOf } from './shop.ts'

// Every append waits for the disk, and a busy one takes its time.
vi.setConfig({ testTimeout: 60_000 })

let dir: string
let file: string
let remove: () => void

beforeEach(() => {
  ;({ dir, file, remove } = makeFolder())
})
afterEach(() => remove())

describe('a new folder', () => {
  test('is made, with every folder above it', () => {
    const deep = join(dir, 'shop', 'data')
    openHistory(deep).close()
    expect(existsSync(join(deep, 'overbend.sqlite'))).toBe(true)
  })

  test('holds an empty history, and nothing but it once that is closed', () => {
    const history = openHistory(dir)
    expect(history.count()).toBe(0)
    expect(history.leftOpen()).toBeNull()
    expect(history.setups()).toEqual([])
    expect(history.verify()).toMatchObject({ records: 0, intact: true, head: '0'.repeat(64) })
    history.close()
    expect(existsSync(`${file}-wal`)).toBe(false)
    expect(existsSync(`${file}.unfinished`)).toBe(false)
    expect(existsSync(join(dir, 'overbend.pid'))).toBe(false)
  })

  test('is made anew over what an interrupted start left', () => {
    writeFileSync(`${file}.unfinished`, 'half a file')
    const history = openHistory(dir)
    expect(history.count()).toBe(0)
    history.close()
    expect(existsSync(`${file}.unfinished`)).toBe(false)
  })

  test('that is a file is refused', () => {
    const path = join(dir, 'plain')
    writeFileSync(path, 'text')
    expect(refusalOf(() => openHistory(path)).message).toContain(path)
  })
})

describe('durability', () => {
  test('the file is in WAL mode and stays so', () => {
    openShop(dir, 1).close()
    const db = new Database(file)
    expect(db.pragma('journal_mode', { simple: true })).toBe('wal')
    db.close()
  })

  test('what was appended is there after opening again', () => {
    const first = openShop(dir, 3)
    const bends = [1, 2, 3].map((id) => first.bend(id))
    first.close()
    const second = openHistory(dir)
    expect([1, 2, 3].map((id) => second.bend(id))).toEqual(bends)
    expect(second.raw(2)).toEqual(rawOf(2))
    second.close()
  })
})

describe('a folder in use', () => {
  test('is refused to a second opener, naming the process', () => {
    const first = openShop(dir)
    const refusal = refusalOf(() => openHistory(dir))
    expect(refusal.code).toBe('HISTORY_IN_USE')
    expect(refusal.message).toContain(`process ${process.pid}`)
    expect(refusal.message).toContain(dir)
    first.append(newBend(1), rawOf(1))
    expect(first.count()).toBe(1)
    first.close()
  })

  test('is still locked after a refused opener has gone', () => {
    const first = openShop(dir)
    refusalOf(() => openHistory(dir))
    expect(refusalOf(() => openHistory(dir)).code).toBe('HISTORY_IN_USE')
    first.close()
    openHistory(dir).close()
  })

  test('is refused without a number if the number file is gone or no number', () => {
    const first = openShop(dir)
    writeFileSync(join(dir, 'overbend.pid'), 'rm -rf\n')
    expect(refusalOf(() => openHistory(dir)).message).toContain('another process')
    rmSync(join(dir, 'overbend.pid'))
    expect(refusalOf(() => openHistory(dir)).message).toContain('another process')
    first.close()
  })

  test('a number file left by a dead process locks nothing', () => {
    openShop(dir, 1).close()
    writeFileSync(join(dir, 'overbend.pid'), '1\n')
    const history = openHistory(dir)
    expect(readFileSync(join(dir, 'overbend.pid'), 'utf8')).toBe(`${process.pid}\n`)
    history.close()
  })

  test('a process that holds it and is killed gives it back', async () => {
    openShop(dir, 1).close()
    const code = `
      const db = new (require('better-sqlite3'))(${JSON.stringify(join(dir, 'overbend.lock'))})
      db.exec('BEGIN EXCLUSIVE')
      console.log('held')
      setInterval(() => db.open, 1000)`
    const child = spawn(process.execPath, ['-e', code], { stdio: ['ignore', 'pipe', 'inherit'] })
    await once(child.stdout, 'data')
    expect(refusalOf(() => openHistory(dir)).code).toBe('HISTORY_IN_USE')
    child.kill('SIGKILL')
    await once(child, 'exit')
    openHistory(dir).close()
  })

  test('can be read meanwhile, and the reader sees what is appended', () => {
    const first = openShop(dir, 1)
    const reader = openReader(dir)
    expect([...reader.bends({})]).toHaveLength(1)
    first.append(newBend(2), rawOf(2))
    expect([...reader.bends({})]).toHaveLength(2)
    reader.close()
    first.close()
  })

  test('a file that another program writes to is busy, and free afterwards', () => {
    const history = openShop(dir)
    const other = new Database(file)
    other.exec('BEGIN IMMEDIATE')
    const refusal = refusalOf(() => history.append(newBend(1), rawOf(1)))
    expect([refusal.code, refusal.remedy]).toEqual(['HISTORY_BUSY', 'disk'])
    other.exec('ROLLBACK')
    other.close()
    expect(history.append(newBend(1), rawOf(1)).id).toBe(1)
    history.close()
  })
})

describe('a file that is not ours', () => {
  const codeOfOpening = () => refusalOf(() => openHistory(dir)).code

  test('text', () => {
    writeFileSync(file, 'not a database at all, but long enough to look at\n'.repeat(50))
    expect(codeOfOpening()).toBe('HISTORY_FOREIGN')
  })

  test('another SQLite file is refused and left as it is', () => {
    const db = new Database(file)
    db.exec('CREATE TABLE bend (id INTEGER)')
    db.close()
    const before = readFileSync(file)
    expect(codeOfOpening()).toBe('HISTORY_FOREIGN')
    expect(readFileSync(file).equals(before)).toBe(true)
  })

  test('a newer schema is refused and left as it is', () => {
    openShop(dir, 1).close()
    const db = new Database(file)
    db.pragma('user_version = 99')
    db.close()
    const before = readFileSync(file)
    const refusal = refusalOf(() => openHistory(dir))
    expect(refusal.code).toBe('HISTORY_NEWER')
    expect(refusal.message).toContain('99')
    expect(readFileSync(file).equals(before)).toBe(true)
  })

  test('a folder of that name', () => {
    mkdirSync(file)
    expect(codeOfOpening()).toBe('HISTORY_DISK_FAULT')
  })

  test('after each of these the folder is free again', () => {
    writeFileSync(file, 'text')
    codeOfOpening()
    rmSync(file)
    openHistory(dir).close()
  })
})

describe('a damaged file', () => {
  test('an empty one is never taken for a new history', () => {
    writeFileSync(file, '')
    expect(refusalOf(() => openHistory(dir)).code).toBe('HISTORY_CORRUPT')
    expect(refusalOf(() => openReader(dir)).code).toBe('HISTORY_CORRUPT')
  })

  test('a log without its file is never replayed into a new one', () => {
    const history = openShop(dir, 2)
    copyFileSync(`${file}-wal`, join(dir, 'kept'))
    history.close()
    rmSync(file)
    copyFileSync(join(dir, 'kept'), `${file}-wal`)
    expect(refusalOf(() => openHistory(dir)).code).toBe('HISTORY_CORRUPT')
    expect(refusalOf(() => openReader(dir)).code).toBe('HISTORY_CORRUPT')
  })

  test('truncated at every 4 KiB it is refused with a code, and never loses a bend silently', () => {
    const whole = join(dir, 'whole')
    openShop(dir, 40).close()
    copyFileSync(file, whole)
    const { length } = readFileSync(whole)
    for (let bytes = 0; bytes < length; bytes += 4096) {
      copyFileSync(whole, file)
      truncateSync(file, bytes)
      expect(refusalOf(() => openHistory(dir)).code, `${bytes} bytes`).toBe('HISTORY_CORRUPT')
    }
    copyFileSync(whole, file)
    const history = openHistory(dir)
    expect(history.verify()).toMatchObject({ records: 40, intact: true })
    history.close()
  })
})

describe('a history whose file was taken away while it is recorded to', () => {
  test.each<[string, () => void]>([
    ['by removing it', () => rmSync(file)],
    [
      'by putting another in its place',
      () => {
        copyFileSync(file, `${file}.other`)
        renameSync(`${file}.other`, file)
      },
    ],
  ])('%s takes no record more, and says why', (_, takeAway) => {
    const history = openShop(dir, 2)
    takeAway()
    const refusals = [
      refusalOf(() => history.append(newBend(3), rawOf(3))),
      refusalOf(() => history.together(() => undefined)),
      refusalOf(() => history.addAct(newAct())),
    ]
    for (const { code, remedy } of refusals) {
      expect(code).toBe('HISTORY_TAKEN_AWAY')
      // The bend in hand is kept and tried again.
      expect(remedy).toBe('disk')
    }
    history.close()
  })

  test('and put back under its name goes on', () => {
    const history = openShop(dir, 2)
    renameSync(file, `${file}.away`)
    expect(refusalOf(() => history.append(newBend(3), rawOf(3))).code).toBe('HISTORY_TAKEN_AWAY')
    renameSync(`${file}.away`, file)
    expect(history.append(newBend(3), rawOf(3)).id).toBe(3)
    history.close()
  })
})
