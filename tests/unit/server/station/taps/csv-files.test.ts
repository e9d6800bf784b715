import {
  appendFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { makeCsvFiles } from '../../../../../server/station/taps/csv-files.ts'

const HEADER = 'a,b\r\n'
let data: string
let folder: string
beforeEach(() => {
  data = mkdtempSync(join(tmpdir(), 'overbend-csv-'))
  folder = join(data, 'taps')
})
afterEach(() => rmSync(data, { recursive: true }))

const writer = (more: { header?: string; bytesMax?: number; filesMax?: number } = {}) =>
  makeCsvFiles({ folder, name: 'log', header: HEADER, bytesMax: 30, filesMax: 3, ...more })
const files = () => readdirSync(folder).sort()
const text = (number: number) => readFileSync(join(folder, `log-000${number}.csv`), 'utf8')

test('makes the folder, begins with the header, and goes on in the same file after a restart', async () => {
  await writer()('1,2\r\n')
  await writer()('3,4\r\n')
  expect(files()).toEqual(['log-0001.csv'])
  expect(text(1)).toBe('a,b\r\n1,2\r\n3,4\r\n')
})

test('a file that is full is followed by the next; the limit stops it, and nothing is deleted', async () => {
  const write = writer()
  for (let nth = 0; nth < 15; nth++) await write(`${nth % 10},2\r\n`)
  expect(files()).toEqual(['log-0001.csv', 'log-0002.csv', 'log-0003.csv'])
  const before = [text(1), text(2), text(3)]
  for (const one of files()) expect(statSync(join(folder, one)).size).toBeLessThanOrEqual(30)
  await expect(write('9,9\r\n')).rejects.toThrow(
    `All 3 files of "log" in ${folder} are full: move some away, or raise filesMax.`,
  )
  expect([text(1), text(2), text(3)]).toEqual(before)
  renameSync(join(folder, 'log-0001.csv'), join(data, 'kept.csv'))
  await write('9,9\r\n')
  expect(text(4)).toBe('a,b\r\n9,9\r\n')
})

test('other columns, or half a row that a power cut left, are let be: the next file begins', async () => {
  await writer()('1,2\r\n')
  await writer({ header: 'a,c\r\n' })('3,4\r\n')
  appendFileSync(join(folder, 'log-0002.csv'), '5,')
  await writer({ header: 'a,c\r\n' })('6,7\r\n')
  expect([text(1), text(2), text(3)]).toEqual([
    'a,b\r\n1,2\r\n',
    'a,c\r\n3,4\r\n5,',
    'a,c\r\n6,7\r\n',
  ])
})

test('files of others in the folder are none of its business', async () => {
  mkdirSync(folder)
  for (const name of ['log-9999.csv.bak', 'log.csv', 'catalog-0007.csv', 'log-12.csv'])
    writeFileSync(join(folder, name), 'x')
  await writer()('1,2\r\n')
  expect(text(1)).toBe('a,b\r\n1,2\r\n')
})

describe('a disk that does not take it is told of in one sentence', () => {
  test('a file where the folder should be', async () => {
    writeFileSync(folder, '')
    await expect(writer()('1,2\r\n')).rejects.toThrow(
      /^Nothing can be written into .*: a file stands in its place\.$/,
    )
  })

  test('a link that leads elsewhere is not followed', async () => {
    mkdirSync(folder)
    const elsewhere = join(data, 'elsewhere.csv')
    writeFileSync(elsewhere, HEADER)
    symlinkSync(elsewhere, join(folder, 'log-0001.csv'))
    await expect(writer()('1,2\r\n')).rejects.toThrow(/a link stands in its place\.$/)
    expect(readFileSync(elsewhere, 'utf8')).toBe(HEADER)
  })

  test('nothing half written is left where it fails', async () => {
    mkdirSync(join(folder, 'log-0001.csv'), { recursive: true })
    await expect(writer()('1,2\r\n')).rejects.toThrow(/a folder stands in its place\.$/)
    expect(existsSync(join(folder, 'log-0002.csv'))).toBe(false)
  })
})
