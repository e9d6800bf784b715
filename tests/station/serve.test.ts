import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, onTestFinished, test } from 'vitest'
import { encodeSentence } from '../../firmware-protocol/codec/encode.ts'
import type { Bend } from '../../server/messages/bends.ts'
import type { BendPage } from '../../server/messages/find.ts'
import type { StationState } from '../../server/messages/live.ts'
import { type Daemon, overbend, runOverbend, until } from '../support/daemon.ts'
import { startHere } from '../support/daemon-here.ts'
import { watchLive } from '../support/live-watch.ts'
import { skipWithout } from '../support/needs.ts'

const folder = mkdtempSync(join(tmpdir(), 'overbend-serve-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))
const data = (name: string) => ['--data', join(folder, name)]
const stateOf = (daemon: Daemon) => daemon.get<StationState>('/api/station')

describe('what serve refuses, in one sentence and with 2', () => {
  test.each([
    [['--serial', '/dev/a', '--bench'], /exclude one another/],
    [['--dialect', 'smoke-signs'], /--dialect takes one of .*, got "smoke-signs"/],
    [['--port', 'eight'], /--port takes a number/],
    [['--port', '70000'], /--port takes a whole number/],
    [['--baud', '9600'], /--baud belongs to --serial: give both/],
    [['--serial', '/dev/a', '--baud', '1'], /--baud must be >= 300, got 1/],
    [['--bench-speed', '0'], /--bench-speed/],
    [['--replay', '/nowhere/at/all'], /no file/],
    [['--tcp', 'a'], /--tcp takes HOST:PORT/],
    [['--tcp', 'a:1', '--baud', '9600'], /--baud belongs to --serial/],
    [['--serial', '/dev/a', '--dialect', 'modbus-rtu'], /--unit-id is needed/],
  ])('%j', async (args, says) => {
    const { code, out, errors } = await overbend(['serve', ...data('refused'), ...args])
    expect({ code, out }).toEqual({ code: 2, out: '' })
    expect(errors).toMatch(says)
    expect(errors.trimEnd().split('\n')).toHaveLength(1)
  })
})

describe('a daemon that serves', () => {
  test('says so in one JSON document on standard output, and writes nothing else there', async () => {
    const child = runOverbend(['serve', '--port', '0', '--bench', ...data('one-document')])
    let out = ''
    child.stdout?.on('data', (chunk) => {
      out += chunk
    })
    await until(
      async () => out,
      (text) => text.includes('\n'),
      { seconds: 60, what: 'a first line' },
    )
    const { url, pid } = JSON.parse(out) as { url: string; pid: number }
    await fetch(`${url}/api/health`)
    child.kill('SIGTERM')
    const [code] = await once(child, 'close')
    expect(code).toBe(0)
    expect(pid).toBe(child.pid)
    expect(JSON.parse(out)).toEqual({ ready: true, url, pid })
  })

  test('ends in order when it is told to, and its folder is free again', async () => {
    const first = await startHere(['--bench', ...data('order')])
    expect(await first.stop()).toBe(0)
    const second = await startHere(['--bench', ...data('order')])
    expect(await second.stop()).toBe(0)
  })

  test('on a port that is taken says where, and ends with 1', async () => {
    const first = await startHere(['--bench', ...data('first')])
    const { port } = new URL(first.url)
    const { code, errors } = await overbend(['serve', '--bench', '--port', port, ...data('second')])
    expect(code).toBe(1)
    expect(errors).toMatch(new RegExp(`port ${port}.*--port`))
    await first.stop()
  })

  test('closes a bend that is under way when it is stopped, as incomplete', async () => {
    const daemon = await startHere(['--bench', '--bench-speed', '4', ...data('mid-bend')])
    await until(
      () => stateOf(daemon),
      ({ phase, cue }) => phase === 'bending' && cue === 'bend',
      {
        seconds: 60,
        what: 'a bend under way',
      },
    )
    expect(await daemon.stop()).toBe(0)
    const again = await startHere(['--serial', '/dev/nothing', ...data('mid-bend')])
    const { bends } = await again.get<BendPage>('/api/bends?limit=1')
    const bend = await again.get<Bend>(`/api/bends/${bends[0]?.id}`)
    expect(bend).toMatchObject({ verdict: 'incomplete', closedBy: 'daemon stopped', learned: 'no' })
    await again.stop()
  })

  test('open to the network prints a pairing code; alone it prints none', async () => {
    const open = await startHere(['--bench', '--host', '0.0.0.0', ...data('open')])
    await until(
      async () => open.errors(),
      (said) => /Pairing code[^\d]*\d{6}/.test(said),
      {
        seconds: 10,
        what: 'a pairing code',
      },
    )
    await open.stop()
    const alone = await startHere(['--bench', ...data('alone')])
    expect(alone.errors()).not.toMatch(/Pairing code/)
    await alone.stop()
  })

  test('plays recorded lines, and says when they are at an end', async () => {
    const file = join(folder, 'lines.txt')
    const hello = encodeSentence({
      kind: 'hello',
      protocol: 1,
      firmware: 'test-1',
      board: 'REPLAYED',
      sensor: 'incremental',
      countsPerTurn: 3600,
      rateHz: 100,
    })
    const samples = Array.from({ length: 150 }, (_, index) =>
      encodeSentence({
        kind: 'sample',
        sequence: index,
        tickUs: index * 10_000,
        counts: index,
        flags: 0,
        second: null,
      }),
    )
    writeFileSync(file, `${[hello, ...samples].join('\r\n')}\r\n`)
    const daemon = await startHere(['--replay', file, ...data('replay')])
    const { link } = await until(
      () => stateOf(daemon),
      ({ link }) => link.state === 'closed',
      {
        seconds: 30,
        what: 'the end of the file',
      },
    )
    expect(link).toMatchObject({ source: file, device: { board: 'REPLAYED' } })
    expect(link.counters).toMatchObject({ samples: 150, badChecksum: 0, gaps: 0 })
    expect(link.reason).toMatch(/\.$/)
    await daemon.stop()
  })
})

describe.skipIf(skipWithout('socat'))('a wire that brings no degrees', () => {
  test.each([
    { name: 'silent', feed: 'sleep 60', hint: /power|cable|board/i },
    { name: 'garbled', feed: 'cat /dev/urandom', hint: /baud/i },
  ])('$name: the page is told what it is and what to do', async ({ name, feed, hint }) => {
    const path = join(folder, `tty-${name}`)
    const socat = spawn('socat', [`PTY,link=${path},raw,echo=0,wait-slave`, `SYSTEM:${feed}`])
    onTestFinished(() => void socat.kill())
    const daemon = await startHere(['--serial', path, ...data(name)])
    const { link } = await until(
      () => stateOf(daemon),
      ({ link }) => link.state === name,
      {
        seconds: 30,
        what: `a ${name} wire`,
      },
    )
    expect(`${link.reason} ${link.hint}`).toMatch(hint)
    const live = watchLive(daemon)
    await until(
      async () => live.state(),
      (state) => state?.link.state === name,
      {
        seconds: 20,
        what: 'the same on the stream',
      },
    )
    live.socket.close()
    await daemon.stop()
  })
})
