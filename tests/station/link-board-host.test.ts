import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, afterEach, describe, expect, test } from 'vitest'
import { decodeLine } from '../../firmware-protocol/codec/decode.ts'
import type { Sentence } from '../../firmware-protocol/codec/sentence.ts'
import { until } from '../support/daemon.ts'

const ROOT = join(import.meta.dirname, '../..')
const HOST = join(ROOT, 'firmware-protocol/bench/board-host.ts')

const folder = mkdtempSync(join(tmpdir(), 'overbend-host-'))
const children: ChildProcess[] = []
afterEach(() => {
  for (const child of children.splice(0)) if (child.exitCode === null) child.kill()
})
afterAll(() => rmSync(folder, { recursive: true }))

let scripts = 0
function script(content: unknown): string {
  const file = join(folder, `script-${scripts++}.json`)
  writeFileSync(file, typeof content === 'string' ? content : JSON.stringify(content))
  return file
}

function start(...args: readonly string[]) {
  const child = spawn(process.execPath, ['--import', 'tsx', HOST, ...args], { cwd: ROOT })
  children.push(child)
  const said = { out: '', error: '' }
  child.stdout.on('data', (chunk) => {
    said.out += chunk
  })
  child.stderr.on('data', (chunk) => {
    said.error += chunk
  })
  return { child, said, code: once(child, 'exit').then(([code]) => code as number | null) }
}

/** What was said, torn last line apart. Every whole line must be a sentence. */
const sentences = (out: string): Sentence[] =>
  out
    .split('\r\n')
    .slice(0, -1)
    .filter((line) => line !== '')
    .map((line) => {
      const decoded = decodeLine(line)
      if (!decoded.ok) throw new Error(`${line} is refused: ${decoded.reason}`)
      return decoded.sentence
    })

describe('a board as a program', () => {
  test('plays its script and ends', async () => {
    const segments = [
      { holdS: 0.5 },
      { pedal: 'down' },
      { pedal: 'up' },
      { moveToDeg: 32, rateDegPerS: 20 },
      { holdS: 0.5 },
      { letOffDeg: 1.2, tauS: 0.03 },
      { holdS: 0.5 },
    ]
    const { said, code } = start('--script', script({ segments }), '--end', 'exit')
    expect(await code).toBe(0)
    expect(said.error).toBe('')
    // A board that starts ends whatever line a reset has torn.
    expect(said.out.startsWith('\r\n$PXOBH,')).toBe(true)
    const list = sentences(said.out)
    const counts = list.flatMap((sentence) => (sentence.kind === 'sample' ? [sentence.counts] : []))
    const degrees = counts.map((count) => ((count - counts[0]!) * 360) / 16_384)
    expect(Math.max(...degrees)).toBeGreaterThan(31.8)
    expect(Math.max(...degrees)).toBeLessThan(32.2)
    expect(Math.abs(degrees.at(-1)! - 30.8)).toBeLessThan(0.2)
    expect(list.filter(({ kind }) => kind === 'event')).toMatchObject([
      { edge: 'down' },
      { edge: 'up' },
    ])
  })

  test('takes commands, and ends with its host', async () => {
    const host = start('--script', script({ segments: [] }), '--board', 'B-7', '--rate', '50')
    await until(
      async () => host.said.out,
      (out) => out.includes('$PXOBS'),
      { seconds: 20, what: 'a first sample' },
    )
    host.child.stdin.write('noise\r\n$PXOBI,1,1,21BA*60\r\n')
    await until(
      async () => sentences(host.said.out).map(({ kind }) => kind),
      (kinds) => kinds.lastIndexOf('hello') > kinds.indexOf('answer'),
      { seconds: 10, what: 'answer and hello' },
    )
    expect(sentences(host.said.out)[0]).toMatchObject({ kind: 'hello', board: 'B-7', rateHz: 50 })
    host.child.stdin.end()
    expect(await host.code).toBe(0)
  })

  test('with a list of stops has an operator who bends to them', async () => {
    const host = start('--script', script({ stopsDeg: [12] }), '--speed', '20', '--seed', '3')
    const largestDeg = await until(
      async () => {
        const samples = sentences(host.said.out).flatMap((sentence) =>
          sentence.kind === 'sample' ? [sentence.counts] : [],
        )
        return ((Math.max(...samples) - (samples[0] ?? 0)) * 360) / 16_384
      },
      (deg) => deg > 12,
      { seconds: 30, what: 'a bend of 12°' },
    )
    // Play before the block bears comes on top of the 12°: 0.6° to 2.2°.
    expect(largestDeg).toBeLessThan(15)
  })

  test.each([
    [[], '--script is missing'],
    [['--script', 'none.json'], 'no such file'],
    [['--script', '{not json}'], 'not JSON'],
    [['--script', '{"segments":[{"holdS":-1}]}'], 'Segment 1 cannot be played'],
    [['--script', '{"stopsDeg":[]}'], '1 to 10000 angles'],
    [['--script', '{"segments":[]}', '--rate', '0'], '--rate takes a number from 1 to 1000'],
    [['--script', '{"segments":[]}', '--rate', ''], '--rate takes'],
    [['--script', '{"segments":[]}', '--speed', 'fast'], '--speed takes'],
    [['--script', '{"segments":[]}', '--seed=-1'], '--seed takes'],
    [['--script', '{"segments":[]}', '--seed', '-1'], "Option '--seed' argument"],
    [['--script', '{"segments":[]}', '--end', 'never'], '--end is rest or exit'],
    [['--script', '{"segments":[]}', '--board', 'a,b'], 'hello.board takes'],
    [['--script', '{"segments":[]}', '--sensor', 'tilt'], '--sensor is incremental or absolute'],
    [['--loud'], "Unknown option '--loud'"],
  ])('refuses %j with one sentence', async (args, words) => {
    const given = args.map((arg) => (arg.startsWith('{') ? script(arg) : arg))
    const { said, code } = start(...given)
    expect(await code).toBe(2)
    expect(said.error).toContain(words)
    expect(said.error.trim().split('\n').length).toBe(1)
    expect(said.out).toBe('')
  })
})
