import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, test } from 'vitest'
import { startSimulatedBoard } from '../../firmware-protocol/bench/simulated-board.ts'
import { buildSimulatedBoard } from '../../firmware-protocol/bench/simulated-board-build.ts'
import { decodeNumber } from '../../firmware-protocol/codec/plain-number.ts'
import { until } from '../support/daemon.ts'
import { FIRMWARE_NEEDS } from '../support/firmware.ts'
import { listenTo, makeHand } from '../support/firmware-host.ts'
import { skipWithout } from '../support/needs.ts'

const SKETCH = join(import.meta.dirname, '../../firmware-protocol/twenty-lines/twenty-lines.ino')
const HARDWARE = '/usr/share/arduino/hardware/arduino/avr'
const CORE = join(HARDWARE, 'cores/arduino')
/** Of the core only what the sketch uses: the rest of it is for newer compilers than Debian's. */
const CPP = ['main', 'HardwareSerial', 'HardwareSerial0', 'Print', 'abi']
const C = ['hooks', 'wiring', 'wiring_digital', 'WInterrupts']
const FLAGS = [
  ...['-mmcu=atmega328p', '-DF_CPU=16000000UL', '-DARDUINO=10607', '-Os', '-w', '-c'],
  ...[`-I${CORE}`, `-I${join(HARDWARE, 'variants/standard')}`],
]

function build(folder: string): string {
  const source = join(folder, 'sketch.cpp')
  writeFileSync(source, `#include <Arduino.h>\n${readFileSync(SKETCH, 'utf8')}`)
  const cpp = [source, ...CPP.map((name) => join(CORE, `${name}.cpp`))]
  const c = C.map((name) => join(CORE, `${name}.c`))
  const run = (...args: string[]) => execFileSync('avr-gcc', args, { cwd: folder, stdio: 'pipe' })
  run('-std=gnu++11', '-fno-exceptions', '-fno-threadsafe-statics', ...FLAGS, ...cpp)
  run(...FLAGS, ...c)
  const objects = ['sketch', ...CPP, ...C].map((name) => `${name}.o`)
  const elf = join(folder, 'sketch.elf')
  run('-mmcu=atmega328p', '-Wl,--gc-sections', '-o', elf, ...objects, '-lm')
  return elf
}

test('the sketch has twenty lines', () => {
  const lines = readFileSync(SKETCH, 'utf8').trimEnd().split('\n')
  expect(lines.filter((line) => line.trim() !== '')).toHaveLength(20)
})

describe.skipIf(skipWithout(...FIRMWARE_NEEDS, 'arduino-core-avr'))('the twenty lines', () => {
  const folder = mkdtempSync(join(tmpdir(), 'overbend-sketch-'))
  afterAll(() => rmSync(folder, { recursive: true, force: true }))

  test('print degrees, one number a line, that follow the encoder', async ({ onTestFinished }) => {
    const program = await buildSimulatedBoard(folder)
    const board = await startSimulatedBoard({ program, elf: build(folder) })
    onTestFinished(() => board.stop())
    const hand = makeHand(board)
    onTestFinished(hand.rest)
    const wire = await listenTo(board.tty)
    onTestFinished(wire.close)
    const degrees = (): number[] =>
      wire.lines().flatMap((line) => {
        const decoded = decodeNumber(line)
        return decoded.ok ? [decoded.value] : []
      })
    const reaches = (right: number) =>
      until(
        async () => degrees().at(-1),
        (last) => last === right,
        { seconds: 30, what: `${right}°` },
      )
    await reaches(0)
    hand.move({ afterUs: 800_000, counts: 1024, pressed: false })
    await reaches(90)
    hand.move({ afterUs: 800_000, counts: -512, pressed: false })
    await reaches(-45)
    // It went there by the way, and no line was anything but a number.
    expect(degrees().some((value) => value > 40 && value < 50)).toBe(true)
    expect(degrees()).toHaveLength(wire.lines().length)
  })
})
