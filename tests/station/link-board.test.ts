import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, afterEach, describe, expect, test } from 'vitest'
import { decodeLine } from '../../firmware-protocol/codec/decode.ts'
import { encodeSentence } from '../../firmware-protocol/codec/encode.ts'
import { until } from '../support/daemon.ts'
import { skipWithout } from '../support/needs.ts'
import { type OpenLink, openLink } from '../support/open-links.ts'
import { plugIn, type TtyBoard } from '../support/tty-board.ts'

const REST = { segments: [{ holdS: 3600 }] }
const IDENTIFY = encodeSentence({ kind: 'identify', command: 9 })

describe.skipIf(skipWithout('socat'))('a board on a real tty', () => {
  const folder = mkdtempSync(join(tmpdir(), 'overbend-link-'))
  const boards: TtyBoard[] = []
  const links: OpenLink[] = []
  afterEach(async () => {
    for (const { link } of links.splice(0)) await link.close()
    for (const board of boards.splice(0)) await board.unplug()
  })
  afterAll(() => rmSync(folder, { recursive: true }))

  async function plug(name: string, board = 'BENCH-0001'): Promise<TtyBoard> {
    const scriptFile = join(folder, `${name}.json`)
    const plugged = await plugIn({ path: join(folder, name), script: REST, scriptFile, board })
    boards.push(plugged)
    return plugged
  }
  function open(name: string, more: Partial<Parameters<typeof openLink>[0]> = {}): OpenLink {
    const opened = openLink({ path: join(folder, name), ...more })
    links.push(opened)
    return opened
  }
  const samples = ({ lines }: OpenLink) =>
    lines.flatMap(({ text }) => {
      const decoded = decodeLine(text)
      return decoded.ok && decoded.sentence.kind === 'sample' ? [decoded.sentence] : []
    })

  test('is heard without a gap, in order, and answers', async () => {
    await plug('a')
    const wire = open('a')
    await wire.reaches('live')
    await until(
      async () => samples(wire).length,
      (count) => count >= 200,
      { seconds: 20, what: '200 samples' },
    )
    const sequence = samples(wire).map((sample) => sample.sequence)
    sequence.forEach((number, at) => {
      expect(number).toBe((sequence[0]! + at) % 65_536)
    })
    expect(wire.lines.every(({ text }) => decodeLine(text).ok)).toBe(true)
    expect(wire.link.send(IDENTIFY)).toBe(true)
    const answer = encodeSentence({ kind: 'answer', command: 9, ok: true, reason: '' })
    await until(
      async () => wire.lines.findIndex(({ text }) => text === answer),
      (place) => place >= 0,
      { seconds: 10, what: 'the answer to identify' },
    )
  })

  test('that is unplugged is lost; plugged in again under its name it is live again', async () => {
    const board = await plug('b')
    const wire = open('b')
    await wire.reaches('live')
    await board.unplug()
    const lost = await wire.reaches('lost')
    expect(lost.reason).toMatch(/has gone|There is no port/)
    expect(wire.link.send(IDENTIFY)).toBe(false)
    const before = wire.lines.length
    await plug('b')
    expect((await wire.reaches('live')).reconnects).toBeGreaterThanOrEqual(1)
    expect(wire.lines.length).toBeGreaterThan(before)
  })

  test('that comes back under another name is found by its serial number', async () => {
    const board = await plug('c1')
    const listPorts = async () => boards.map(({ path }) => path)
    const sameBoard = (serial: string): boolean => serial === 'BENCH-0001'
    const wire = open('c1', { listPorts, sameBoard })
    await wire.reaches('live')
    await board.unplug()
    boards.splice(0)
    await wire.reaches('lost')
    const other = await plug('c2')
    const found = await wire.reaches('live', 40)
    expect(found.source).toBe(other.path)
    expect(wire.link.send(IDENTIFY)).toBe(true)
  })

  test('is not replaced by another board that has come instead', async () => {
    const board = await plug('d1')
    const asked: string[] = []
    const listPorts = async () => boards.map(({ path }) => path)
    const sameBoard = (serial: string): boolean => {
      asked.push(serial)
      return serial === 'BENCH-0001'
    }
    const wire = open('d1', { listPorts, sameBoard })
    await wire.reaches('live')
    await board.unplug()
    boards.splice(0)
    await wire.reaches('lost')
    const before = wire.lines.length
    await plug('d2', 'BENCH-0002')
    await until(
      async () => asked,
      (serials) => serials.length > 0,
      { seconds: 40, what: 'a hello of the other board' },
    )
    expect(asked).toEqual(['BENCH-0002'])
    expect(wire.lines.length).toBe(before)
    expect(wire.link.state().state).toBe('lost')
  })
})
