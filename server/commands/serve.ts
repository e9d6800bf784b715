import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { Option } from 'commander'
import { runDemo } from '../demo.ts'
import { HistoryError } from '../history/errors.ts'
import { openOrLate } from '../history/late-history.ts'
import { openHistory } from '../history/open.ts'
import { type BenchLink, makeBenchLink } from '../link/bench-link.ts'
import { makeClock } from '../link/clock.ts'
import { fasterClock } from '../link/faster-clock.ts'
import type { Clock, Link } from '../link/link.ts'
import { ReplayLink } from '../link/replay-link.ts'
import { SerialLink } from '../link/serial-link.ts'
import type { BenchDoor } from '../station/bench-door.ts'
import { Station } from '../station.ts'
import { software } from '../version.ts'
import { makeAccess } from '../web/access.ts'
import { buildApp } from '../web/app.ts'
import { listen } from '../web/listen.ts'
import { type AddCommand, BadInput, finiteNumber, printJson } from './command.ts'

/** Not used by any service that IANA names; 0 takes any free one. */
const PORT = 8737
const BAUD = 115_200

interface Flags {
  readonly serial?: string
  readonly replay?: string
  readonly bench?: true
  readonly baud: number
  readonly dialect: string
  readonly data?: string
  readonly host: string
  readonly port: number
  readonly benchSpeed: number
  readonly benchSeed: number
}

interface Wire {
  readonly link: Link
  readonly bench: BenchLink | null
}

function checkFlags(flags: Flags): void {
  const sources = [flags.serial, flags.replay, flags.bench].filter((given) => given !== undefined)
  if (sources.length > 1)
    throw new BadInput('--serial, --replay and --bench exclude one another: give one of them.')
  if (flags.dialect !== 'native')
    throw new BadInput(`--dialect ${flags.dialect} is not served yet: only native is.`)
  if (!(Number.isInteger(flags.port) && flags.port >= 0 && flags.port <= 65_535))
    throw new BadInput(`--port takes a whole number from 0 to 65535, got ${flags.port}.`)
  if (!(Number.isInteger(flags.baud) && flags.baud >= 300 && flags.baud <= 4_000_000))
    throw new BadInput(`--baud takes a whole number from 300 to 4000000, got ${flags.baud}.`)
  if (!(flags.benchSpeed >= 0.1 && flags.benchSpeed <= 20))
    throw new BadInput(`--bench-speed takes a number from 0.1 to 20, got ${flags.benchSpeed}.`)
  if (flags.replay !== undefined && !existsSync(flags.replay))
    throw new BadInput(`--replay: there is no file ${flags.replay}.`)
}

function makeWire(flags: Flags, clock: Clock, board: () => string | null): Wire {
  if (flags.serial !== undefined) {
    const sameBoard = (found: string) => board() === null || board() === found
    const { serial: path, baud: baudRate } = flags
    return { link: new SerialLink({ path, baudRate, clock, sameBoard }), bench: null }
  }
  if (flags.replay !== undefined)
    return {
      link: new ReplayLink({ file: flags.replay, clock, pace: 'original' }),
      bench: null,
    }
  const bench = makeBenchLink({ seed: flags.benchSeed, clock })
  return { link: bench, bench }
}

const benchDoor = (bench: BenchLink): BenchDoor => ({
  act: ({ mode, ram }) => bench.act({ mode, ram }),
  state: () => bench.benchState(),
  show: (prompt) => bench.show(prompt),
  useLot: bench.useLot,
})

/** Bends of the bench never mix with a shop's own. */
const dataFolder = ({ data }: Flags, isBench: boolean) =>
  data ?? join('overbend-data', isBench ? 'bench' : 'station')

function openFolder(folder: string) {
  try {
    return openOrLate(() => openHistory(folder))
  } catch (error) {
    if (error instanceof HistoryError) throw new BadInput(error.message)
    throw error
  }
}

/** Beside the sources in a checkout, beside the built server in a package; null when it is not built. */
function dashboardFolder(): string | null {
  const places = ['../../dashboard', '../../dist/dashboard']
  const folders = places.map((place) => join(import.meta.dirname, place))
  return folders.find((folder) => existsSync(join(folder, 'assets'))) ?? null
}

const logLine = (sentence: string, facts: Readonly<Record<string, unknown>> = {}) => {
  process.stderr.write(`${JSON.stringify({ at: new Date().toISOString(), sentence, ...facts })}\n`)
}

async function run(flags: Flags): Promise<void> {
  checkFlags(flags)
  const clock = fasterClock(makeClock(), flags.benchSpeed)
  let station: Station | null = null
  const board = () => station?.state().link.device?.board ?? null
  const { link, bench } = makeWire(flags, clock, board)
  const { history, trouble } = openFolder(dataFolder(flags, bench !== null))
  if (trouble !== null) logLine('Bends cannot be saved.', { why: trouble })
  const door = bench && benchDoor(bench)
  station = new Station({ clock, link, history, bench: door, software })
  const access = makeAccess({ host: flags.host, clock })
  const dashboardDir = dashboardFolder()
  const app = buildApp({ station, history, dashboardDir, access, clock, software, log: logLine })
  station.start()
  if (bench !== null) runDemo(station)
  const stop = async () => {
    await app.close()
    await station?.stop()
    const unsaved = station?.state().unsaved ?? 0
    if (unsaved > 0)
      logLine('Bends are lost: the disk did not take them before the end.', { unsaved })
    history.close()
  }
  try {
    const { url } = await listen(app, flags)
    // Who is told that it is ready may end it at once.
    onSignals(stop)
    greet(url, access.pairingCode, bench !== null)
    printJson({ ready: true, url, pid: process.pid })
  } catch (error) {
    await stop()
    throw error
  }
}

function greet(url: string, pairingCode: string | null, isBench: boolean): void {
  const lines = [
    `Overbend ${software}. Open ${url} in a browser; Ctrl+C ends it.`,
    isBench && 'This is the built-in bench: a simulated bender, so nothing moves in your shop.',
    pairingCode !== null && `Pairing code for other devices on the network: ${pairingCode}`,
    'The prompt is an aid, never a safety function: keep every guard and stop of the machine in use.',
  ]
  process.stderr.write(`${lines.filter((line) => line !== false).join('\n')}\n`)
}

/** The first signal ends in order; a second one ends at once. */
function onSignals(stop: () => Promise<void>): void {
  let isStopping = false
  let exitCode = 0
  const end = () => {
    if (isStopping) process.exit(1)
    isStopping = true
    stop().then(
      () => process.exit(exitCode),
      (error: unknown) => {
        logLine('The daemon could not end in order.', { error: String(error) })
        process.exit(1)
      },
    )
  }
  process.on('SIGINT', end)
  process.on('SIGTERM', end)
  // A fault of our own: the bend in hand is put on record before the daemon ends.
  process.on('uncaughtException', (error) => {
    logLine('The daemon has a fault and ends.', { error: error.stack ?? String(error) })
    exitCode = 1
    end()
  })
}

/** `overbend serve`: the daemon. */
export const serve: AddCommand = (program) => {
  program
    .command('serve')
    .description('runs the daemon: sensor, chain, history and dashboard')
    .option('--serial <path>', 'the port, best by its stable name under /dev/serial/by-id')
    .option('--replay <file>', 'a file of recorded lines instead of a port')
    .option('--bench', 'the built-in bench: a simulated bender (the default without a port)')
    .option('--baud <rate>', 'speed of the port', finiteNumber('--baud'), BAUD)
    .option('--dialect <name>', 'what the board speaks', 'native')
    .option('--data <dir>', 'folder of the bend history (default: overbend-data/…)')
    .option(
      '--host <address>',
      'address to listen on; another than loopback asks for pairing',
      '127.0.0.1',
    )
    .option(
      '--port <number>',
      'port to listen on, 0 for any free one',
      finiteNumber('--port'),
      PORT,
    )
    .addOption(
      new Option('--bench-speed <factor>', 'how much faster than real the bench runs')
        .argParser(finiteNumber('--bench-speed'))
        .default(1),
    )
    .addOption(
      new Option('--bench-seed <number>', 'which tubes and which operator the bench gets')
        .argParser(finiteNumber('--bench-seed'))
        .default(1),
    )
    .action(run)
}
