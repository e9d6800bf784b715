import { appendFileSync, readFileSync } from 'node:fs'
import { parseArgs } from 'node:util'
import { makeLineSplitter } from '../codec/line-splitter.ts'
import { isOn } from './board.ts'
import { type Device, type DeviceSpec, makeDevice } from './device.ts'
import type { Motion } from './motion.ts'
import { armOf, BENCH_MOUNTS } from './mount.ts'
import { makePointer } from './pointer.ts'
import { readScript } from './script-file.ts'
import { playScript } from './scripted.ts'
import { makeWorkshop } from './workshop.ts'

/**
 * A virtual board on standard input and output, in real time: put a pseudo-terminal in front of it, and a
 * daemon that wants a real tty reads a real tty.
 *
 *     socat PTY,link=/tmp/bender,raw,echo=0 EXEC:"npx tsx board-host.ts --script bend.json"
 */
const USAGE =
  'board-host --script FILE.json [--seed 1] [--rate 200] [--speed 1] [--board NAME] ' +
  '[--sensor incremental|absolute] [--mount die|arm|…] [--pressure|--switch] [--end rest|exit] ' +
  '[--truth FILE] [--no-pedal] [--tell-outputs]'

const TICK_MS = 5
/** After a longer stall the board has left samples out, as a real one whose host was slow. */
const CATCH_UP_MAX_S = 1
const SPEED_MAX = 100

interface Options {
  readonly scriptFile: string
  readonly device: DeviceSpec
  readonly speed: number
  readonly exitsAtEnd: boolean
  readonly tellsOutputs: boolean
  /** Where what really happened at each letting off is written, a JSON line each; '' for nowhere. */
  readonly truthFile: string
  /** Without one the operator's foot tells nobody. */
  readonly hasPedal: boolean
}

interface Played extends Motion {
  ended(): boolean
}

function readOptions(args: readonly string[]): Options {
  const { values } = parseArgs({
    args: [...args],
    options: {
      script: { type: 'string' },
      seed: { type: 'string', default: '1' },
      rate: { type: 'string', default: '200' },
      speed: { type: 'string', default: '1' },
      board: { type: 'string', default: 'BENCH-0001' },
      sensor: { type: 'string', default: 'incremental' },
      mount: { type: 'string', default: 'die' },
      pressure: { type: 'boolean', default: false },
      switch: { type: 'boolean', default: false },
      'no-pedal': { type: 'boolean', default: false },
      truth: { type: 'string', default: '' },
      end: { type: 'string', default: 'rest' },
      'tell-outputs': { type: 'boolean', default: false },
    },
  })
  if (values.script === undefined) throw new RangeError(`--script is missing. Usage: ${USAGE}`)
  if (values.end !== 'rest' && values.end !== 'exit')
    throw new RangeError(`--end is rest or exit, got "${values.end}".`)
  const { sensor } = values
  if (sensor !== 'incremental' && sensor !== 'absolute')
    throw new RangeError(`--sensor is incremental or absolute, got "${sensor}".`)
  const mount = BENCH_MOUNTS.find((known) => known === values.mount)
  if (mount === undefined)
    throw new RangeError(`--mount is one of ${BENCH_MOUNTS.join(', ')}, got "${values.mount}".`)
  const rateHz = numberBetween('--rate', values.rate, 1, 1000)
  return {
    scriptFile: values.script,
    device: {
      seed: numberBetween('--seed', values.seed, 0, 2 ** 32),
      board: { rateHz, board: values.board },
      sensor: { kind: sensor },
      mount,
      pressure: values.pressure ? {} : null,
      switch: values.switch,
    },
    speed: numberBetween('--speed', values.speed, 0.01, SPEED_MAX),
    exitsAtEnd: values.end === 'exit',
    tellsOutputs: values['tell-outputs'],
    truthFile: values.truth,
    hasPedal: !values['no-pedal'],
  }
}

function numberBetween(flag: string, text: string, low: number, high: number): number {
  const value = Number(text)
  if (!(text.trim() !== '' && value >= low && value <= high))
    throw new RangeError(`${flag} takes a number from ${low} to ${high}, got "${text}".`)
  return value
}

function makeMotion({ scriptFile, device, truthFile, hasPedal }: Options): Played {
  const { seed, mount } = device
  const script = readScript(readFileSync(scriptFile, 'utf8'))
  if ('segments' in script) return playScript(script.segments)
  const workshop = makeWorkshop(seed, armOf(mount))
  let truth = workshop.truth()
  const point = makePointer(script.stopsDeg)
  return {
    ...workshop,
    takePedal: () => (hasPedal ? workshop.takePedal() : workshop.takePedal().slice(0, 0)),
    advance(dtS) {
      workshop.advance(dtS)
      workshop.show(point(workshop.sight()))
      if (truthFile === '' || workshop.truth() === truth) return
      truth = workshop.truth()
      appendFileSync(truthFile, `${JSON.stringify(truth)}\n`)
    },
    ended: () => false,
  }
}

function run(options: Options): void {
  const { device: spec, speed, exitsAtEnd, tellsOutputs } = options
  const motion = makeMotion(options)
  const device = makeDevice(spec, motion)
  const commands = makeLineSplitter((line) => device.receive(line))
  process.stdin.on('data', (chunk) => commands.push(chunk as Buffer))
  process.stdin.on('end', () => process.exit(0))
  process.stdout.on('error', () => process.exit(0))
  const send = makeSender(device)
  const tellOutputs = makeOutputTeller(device)
  // A board that starts ends whatever line a reset has torn.
  process.stdout.write('\r\n')
  let lastMs = performance.now()
  setInterval(() => {
    const nowMs = performance.now()
    const dtS = ((nowMs - lastMs) / 1000) * speed
    lastMs = nowMs
    if (dtS > CATCH_UP_MAX_S * speed) device.skip(dtS - CATCH_UP_MAX_S * speed)
    send(device.advance(Math.min(dtS, CATCH_UP_MAX_S * speed)))
    if (tellsOutputs) tellOutputs()
    if (exitsAtEnd && motion.ended()) process.stdout.end(() => process.exit(0))
  }, TICK_MS)
}

/** What a lamp at the board would show: each change as a JSON line on standard error. */
function makeOutputTeller({ board }: Device): () => void {
  const shown = { buzzer: false, lamp: false, relay: false }
  return function tellOutputs() {
    for (const output of ['buzzer', 'lamp', 'relay'] as const) {
      const on = isOn(board, output)
      if (on === shown[output]) continue
      shown[output] = on
      process.stderr.write(`${JSON.stringify({ output, on })}\n`)
    }
  }
}

/** A board never waits for its host: what does not fit down the wire is left out and counted. */
function makeSender({ board }: Device): (lines: readonly string[]) => void {
  let isFull = false
  process.stdout.on('drain', () => {
    isFull = false
  })
  return function send(lines) {
    if (lines.length === 0) return
    if (isFull) board.overruns += lines.length
    else isFull = !process.stdout.write(`${lines.join('\r\n')}\r\n`)
  }
}

try {
  run(readOptions(process.argv.slice(2)))
} catch (error) {
  const sentence = (error as Error).message.replaceAll('\n', ' ')
  process.stderr.write(`board-host: ${sentence}\n`)
  process.exitCode = 2
}
