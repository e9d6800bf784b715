import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeEach, describe, expect, it } from 'vitest'
import type { ReceivedLine, WireState } from '../../../../server/link/link.ts'
import { ReplayLink, type ReplayLinkOptions } from '../../../../server/link/replay-link.ts'
import { makeSimulatedClock, type SimulatedClock } from '../../../support/simulated-clock.ts'

const folder = mkdtempSync(join(tmpdir(), 'overbend-replay-'))
afterAll(() => rmSync(folder, { recursive: true }))

let clock: SimulatedClock
beforeEach(() => {
  clock = makeSimulatedClock(0)
})

let files = 0
function write(content: string | Buffer): string {
  const file = join(folder, `lines-${files++}.txt`)
  writeFileSync(file, content)
  return file
}

function open(file: string, pace: ReplayLinkOptions['pace']) {
  const link = new ReplayLink({ file, clock, pace })
  const lines: ReceivedLine[] = []
  const batches: number[] = []
  const states: WireState[] = []
  link.onLines((batch) => {
    lines.push(...batch)
    batches.push(batch.length)
  })
  link.onState((state) => states.push(state))
  link.open()
  return { link, lines, batches, states }
}

/** File streams need real turns of the event loop, as many as it takes. */
async function until(condition: () => boolean, seconds = 0.001): Promise<void> {
  for (let turns = 0; turns < 20_000 && !condition(); turns++) await clock.run(seconds)
  expect(condition()).toBe(true)
}

const RECORD = ['50\td\tone', '50.5\th\tdatum', '51\td\ttwo', '53\td\tthree'].join('\n')

describe('a replayed record', () => {
  it('at its original pace takes as long as it took, and tells who spoke', async () => {
    const { lines, states, link } = open(write(RECORD), 'original')
    await until(() => link.state().state === 'live')
    await until(() => lines.length > 0)
    const startS = lines[0]!.arrivalS
    await until(() => link.state().state === 'closed', 0.01)
    expect(lines.map(({ arrivalS, ...rest }) => [arrivalS - startS, rest])).toEqual([
      [0, { text: 'one' }],
      [0.5, { text: 'datum', from: 'host' }],
      [1, { text: 'two' }],
      [3, { text: 'three' }],
    ])
    expect(clock.nowS() - startS).toBeGreaterThanOrEqual(3)
    expect(states.map(({ state }) => state)).toEqual(['live', 'closed'])
    expect(link.state().reason).toBe('The file has ended after 4 lines.')
  })

  it('gives no line before its time', async () => {
    const { lines, link } = open(write(RECORD), 'original')
    await until(() => lines.length === 1)
    const startS = lines[0]!.arrivalS
    while (link.state().state !== 'closed') {
      await clock.run(0.05)
      for (const { arrivalS } of lines) expect(arrivalS).toBeLessThanOrEqual(clock.nowS() + 1e-9)
    }
    expect(startS).toBe(0)
  })

  it('fast gives the same arrivals without the wait', async () => {
    const { lines, link } = open(write(RECORD), 'fast')
    await until(() => link.state().state === 'closed', 0)
    expect(lines.map(({ arrivalS }) => arrivalS)).toEqual([0, 0.5, 1, 3])
    expect(clock.nowS()).toBe(0)
  })

  it('fast gives long files in batches, and others their turn between', async () => {
    const file = write(Array.from({ length: 5000 }, (_, at) => `${at}\td\tline ${at}`).join('\n'))
    const { lines, batches, link } = open(file, 'fast')
    await until(() => link.state().state === 'closed', 0)
    expect(lines.length).toBe(5000)
    expect(lines.at(-1)!.text).toBe('line 4999')
    expect(Math.max(...batches)).toBe(256)
  })
})

describe('a replayed file', () => {
  it.each([
    ['with CR LF', 'a\r\nb\r\n'],
    ['with LF', 'a\nb\n'],
    ['without a last line end', 'a\nb'],
    ['with empty lines', '\n\na\r\n\r\n\nb\n\n'],
  ])('%s gives its lines', async (_what, content) => {
    const { lines, link } = open(write(content), 'fast')
    await until(() => link.state().state === 'closed', 0)
    expect(lines.map(({ text }) => text)).toEqual(['a', 'b'])
  })

  it('that is empty ends at once', async () => {
    const { lines, link } = open(write(''), 'original')
    await until(() => link.state().state === 'closed')
    expect(link.state().reason).toBe('The file has ended after 0 lines.')
    expect(lines).toEqual([])
  })

  it('with an endless line counts it and goes on', async () => {
    const { lines, link } = open(write(`a\n${'x'.repeat(3_000_000)}\nb\n`), 'fast')
    await until(() => link.state().state === 'closed', 0)
    expect(lines.map(({ text }) => text)).toEqual(['a', 'b'])
    expect(link.state().overlong).toBe(1)
  })

  it('of random bytes is no harm', async () => {
    const noise = Buffer.from(Array.from({ length: 100_000 }, (_, at) => (at * 7919 + 13) % 256))
    const { lines, link } = open(write(noise), 'fast')
    await until(() => link.state().state === 'closed', 0)
    expect(lines.every(({ text }) => text.length <= 256)).toBe(true)
    expect(lines.length + link.state().overlong).toBeGreaterThan(300)
  })

  it.each([
    ['that is not there', () => join(folder, 'none.txt'), 'no such file'],
    ['that is a folder', () => folder, 'directory'],
  ])('%s closes the link with a sentence', async (_what, path, words) => {
    const { link, states } = open(path(), 'original')
    await until(() => link.state().state === 'closed')
    expect(link.state().reason).toContain(path())
    expect(link.state().reason).toContain(words)
    expect(link.state().hint).not.toBe('')
    expect(states.length).toBeLessThanOrEqual(2)
  })

  it('can be closed in the middle, and says nothing more', async () => {
    const { lines, link } = open(write(RECORD), 'original')
    await until(() => lines.length === 1)
    await link.close()
    const { length } = lines
    await clock.run(10)
    expect(lines.length).toBe(length)
    expect(link.state()).toMatchObject({
      state: 'closed',
      reason: 'The daemon has closed the file.',
    })
    expect(clock.waiting()).toBe(0)
  })

  it('takes no commands', () => {
    const { link } = open(write('a\n'), 'fast')
    expect(link.send()).toBe(false)
    link.judged()
  })
})
