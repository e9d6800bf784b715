import { join, resolve } from 'node:path'
import { Option } from 'commander'
import { BENCH_MOUNTS } from '../../firmware-protocol/bench/mount.ts'
import { runDemo } from '../demo.ts'
import { archiveFrom } from '../history/archive.ts'
import { HistoryError } from '../history/errors.ts'
import { type History, ONLY_STATION } from '../history/history.ts'
import { isoWithOffset } from '../history/iso-time.ts'
import { openOrLate } from '../history/late-history.ts'
import { openHistory } from '../history/open.ts'
import type { BackupPlan } from '../keeping/backup-rounds.ts'
import { makeExportDesk } from '../keeping/export-desk.ts'
import { makeKeeper } from '../keeping/keeper.ts'
import { makeClock } from '../link/clock.ts'
import { fasterClock } from '../link/faster-clock.ts'
import type { Clock } from '../link/link.ts'
import { DIALECTS, type Wire, type WireChoice } from '../messages/wire.ts'
import type { Catalogue } from '../own-blocks/catalogue.ts'
import { ownBlockNotices } from '../own-blocks/notices.ts'
import { makePasswords } from '../people/passwords.ts'
import { makePeopleDesk } from '../people/people-desk.ts'
import { type BenchSensor, benchSensor } from '../station/bench-sensor.ts'
import { makeDaemonDoors } from '../station/daemon-doors.ts'
import { makeMemory } from '../station/memory.ts'
import type { StationParts } from '../station/station-parts.ts'
import { software } from '../version.ts'
import { makeAccess } from '../web/access.ts'
import { buildApp } from '../web/app.ts'
import { listen } from '../web/listen.ts'
import { catalogueFrom } from './blocks-option.ts'
import { type AddCommand, BadInput, finiteNumber, printJson } from './command.ts'
import { signingIn } from './export-paper.ts'
import { isAuto, wireHeard } from './serve-auto.ts'
import type { Flags } from './serve-flags.ts'
import {
  type Bender,
  makeBender,
  makeBenders,
  recordOrphans,
  stationsGiven,
} from './serve-stations.ts'
import { wireFrom } from './serve-wire.ts'
import { dashboardFolder, logLine, onSignals } from './service.ts'
import type { StationAsked } from './stations-file.ts'
import { addWireOptions } from './wire-options.ts'

/** Not used by any service that IANA names; 0 takes any free one. */
const PORT = 8737

function checkFlags(flags: Flags): void {
  planFrom(flags)
  benchSensorFrom(flags)
  if (!(Number.isInteger(flags.port) && flags.port >= 0 && flags.port <= 65_535))
    throw new BadInput(`--port takes a whole number from 0 to 65535, got ${flags.port}.`)
  if (!(flags.benchSpeed >= 0.1 && flags.benchSpeed <= 20))
    throw new BadInput(`--bench-speed takes a number from 0.1 to 20, got ${flags.benchSpeed}.`)
}

/** A day's work is the most that is lost with a disk. */
const BACKUP_EVERY_H = 24

function planFrom({ backupTo, backupEvery }: Flags): BackupPlan | null {
  if (backupTo === undefined) {
    if (backupEvery === undefined) return null
    throw new BadInput('--backup-every needs --backup-to: say where the copies go.')
  }
  const everyHours = backupEvery ?? BACKUP_EVERY_H
  if (!(everyHours >= 0.25 && everyHours <= 24 * 31))
    throw new BadInput(`--backup-every takes hours from 0.25 to 744, got ${everyHours}.`)
  return { folder: resolve(backupTo), everyHours }
}

function benchSensorFrom({ benchMount = 'die', benchPressure = false }: Flags): BenchSensor {
  const mount = BENCH_MOUNTS.find((known) => known === benchMount)
  if (mount === undefined)
    throw new BadInput(
      `--bench-mount takes one of ${BENCH_MOUNTS.join(', ')}, got "${benchMount}".`,
    )
  if (benchPressure && mount.endsWith('tilt'))
    throw new BadInput(`--bench-pressure does not go with --bench-mount ${mount}.`)
  return { mount, pressure: benchPressure }
}

/** Bends of the bench never mix with a shop's own. */
const dataFolder = ({ data }: Flags, wires: readonly Wire[]) =>
  data ?? join('overbend-data', wires.every(({ kind }) => kind === 'bench') ? 'bench' : 'station')

const BENCH: Wire = { kind: 'bench' }

/** What was chosen on the page of an earlier run. A history that cannot be read yet has nothing to say. */
const rememberedWire = (history: History): Wire | null =>
  unlessRefused(() => makeMemory(history).wire())

/** Only the next start needs it: a disk that refuses it stops nobody. */
function rememberWire(history: History, wire: WireChoice): void {
  unlessRefused(() => makeMemory(history).keepWire(wire))
}

function unlessRefused<T>(work: () => T): T | null {
  try {
    return work()
  } catch (error) {
    if (!(error instanceof HistoryError)) throw error
    logLine('The choice of the wire could not be read or kept.', { why: error.message })
    return null
  }
}

/** Bends whose columns are read in a second by a small computer. */
const INDEXED_PER_S = 10_000

/** Says once how long the first start takes on a history that was recorded before there was an index. */
function sayIndexing(): (bendsLeft: number) => void {
  let isSaid = false
  return (bends) => {
    if (isSaid || bends < INDEXED_PER_S) return
    isSaid = true
    const aboutS = Math.ceil(bends / INDEXED_PER_S)
    logLine('The history is made ready to be searched, once; this takes a while.', {
      bends,
      aboutS,
    })
  }
}

/** The history of a folder; where the disk is at fault, one that keeps bends until it is not, which is told. */
function openFolder(folder: string): History {
  try {
    const open = () => openHistory(folder, { onIndexing: sayIndexing() })
    const { history, trouble } = openOrLate(open)
    if (trouble !== null) logLine('Bends cannot be saved.', { why: trouble })
    return history
  } catch (error) {
    if (error instanceof HistoryError) throw new BadInput(error.message)
    throw error
  }
}

/** One bender from the command line, with everything as it was when a daemon had only one. */
function makeAlone(flags: Flags, given: Wire | null, around: Around) {
  const { history } = around
  const bender = makeBender({
    ...around,
    first: given ?? rememberedWire(history) ?? BENCH,
    bench: { seed: flags.benchSeed ?? 1, sensor: benchSensorFrom(flags) },
    remember: (next) => rememberWire(history, next),
  })
  return { benders: [bender], teaching: () => [bender.station.teaching] }
}

interface Around extends Pick<StationParts, 'keeping'> {
  readonly clock: Clock
  readonly history: History
  readonly catalogue: Catalogue
  readonly speed: number
  /** The data folder: taps write below it. */
  readonly folder: string
}

/** What the command line asks for; where it asks to listen first, what was heard is told. */
async function wireGiven(flags: Flags): Promise<Wire | null> {
  if (!isAuto(flags)) return wireFrom(flags)
  const { wire, why } = await wireHeard(flags, makeClock())
  logLine(why)
  return wire
}

/** Every bench is kept at work. */
function startDemos(
  flags: Flags,
  asked: readonly StationAsked[] | null,
  benders: readonly Bender[],
) {
  for (const [place, { station, wire }] of benders.entries()) {
    if (wire.bench() === null) continue
    const one = asked?.[place]
    const isOwn =
      one !== undefined || flags.benchMount !== undefined || flags.benchPressure === true
    const sensor = isOwn ? benchSensor(one?.bench.sensor ?? benchSensorFrom(flags)) : null
    runDemo(station, sensor, one && { name: one.name, place })
  }
}

async function run(flags: Flags): Promise<void> {
  checkFlags(flags)
  const catalogue = await catalogueFrom(flags.blocks)
  const asked = stationsGiven(flags)
  const given = asked === null ? await wireGiven(flags) : null
  const wires = asked?.map(({ wire }) => wire) ?? [given ?? BENCH]
  const folder = dataFolder(flags, wires)
  const history = openFolder(folder)
  const clock = fasterClock(makeClock(), flags.benchSpeed)
  const keeping = makeKeeper({
    ...{ history, dataDir: folder, clock: makeClock(), log: logLine },
    plan: planFrom(flags),
  })
  const around = { clock, history, catalogue, folder, keeping, speed: flags.benchSpeed }
  const isOne = asked === null
  const { benders, teaching } = isOne ? makeAlone(flags, given, around) : makeBenders(asked, around)
  const [first] = benders as [Bender]
  // A key that was made meanwhile is found.
  const signing = () => signingIn(folder, () => clock.wallMs())
  const doors = makeDaemonDoors({
    ...{ history, clock, software, teaching, signing },
    trace: (bendId) => first.station.trace(bendId),
  })
  const wallNow = () => isoWithOffset(clock.wallMs())
  const people = makePeopleDesk({
    ...{ history, clock, software, passwords: makePasswords() },
    at: wallNow,
  })
  const access = makeAccess({ host: flags.host, clock })
  const rest = { access, people, clock, software, log: logLine }
  const exportDesk = makeExportDesk({ history, software, log: logLine, at: wallNow })
  const app = buildApp({
    ...{ ...first, history, ...doors, ...rest, keeping },
    signed: (filter) => signing()?.lines(filter) ?? null,
    left: exportDesk.left,
    archive: (ask, whoKnownBy) =>
      archiveFrom(history, folder, { ...ask, whoKnownBy, software, wallMs: clock.wallMs }),
    ...(!isOne && { seats: benders as (Bender & { key: string })[] }),
    dashboardDir: dashboardFolder(),
  })
  const served = asked?.map(({ key }) => key) ?? [ONLY_STATION]
  unlessRefused(() => recordOrphans(history, clock, served))
  for (const { station } of benders) station.start()
  keeping.start()
  startDemos(flags, asked, benders)
  const isBench = benders.every(({ wire }) => wire.bench() !== null)
  const stop = async () => {
    await app.close()
    await keeping.stop()
    for (const { station } of benders) await station.stop()
    // All benders have one queue, or there is one bender.
    const { unsaved } = first.station.state()
    if (unsaved > 0)
      logLine('Bends are lost: the disk did not take them before the end.', { unsaved })
    endHistory(exportDesk, history)
  }
  try {
    const { url } = await listen(app, flags)
    // Who is told that it is ready may end it at once.
    onSignals(stop)
    greet(url, access.pairingCode, isBench)
    for (const { text, hint } of ownBlockNotices(catalogue)) logLine(text, { hint })
    printJson({ ready: true, url, pid: process.pid })
  } catch (error) {
    await stop()
    throw error
  }
}

function endHistory(exports: { close(): void }, history: History): void {
  try {
    exports.close()
  } finally {
    history.close()
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

/** `overbend serve`: the daemon. */
export const serve: AddCommand = (program) => {
  const command = program
    .command('serve')
    .description('runs the daemon: sensor, chain, history and dashboard')
    .option('--stations <file>', 'several benders, each with its own wire, from a JSON file')
    .option('--serial <path>', 'the port, best by its stable name under /dev/serial/by-id')
    .option('--tcp <host:port>', 'a serial-over-network converter that passes bytes on')
    .option('--replay <file>', 'a file of recorded lines instead of a port')
    .option('--bench', 'the built-in bench: a simulated bender (the default without a port)')
    .option(
      '--baud <rate>',
      'speed of the port (native and number 115200, nmea-xdr 4800, modbus-rtu 9600)',
      finiteNumber('--baud'),
    )
    .option(
      '--dialect <name>',
      `what the board speaks: ${DIALECTS.join(', ')}, or auto to listen first (native)`,
    )
    .option('--blocks <dir>', 'load own blocks from a folder: their code runs with all rights here')
    .option('--backup-to <dir>', 'keep checked copies of the history in this folder')
    .option(
      '--backup-every <hours>',
      `how old the last copy may grow (${BACKUP_EVERY_H})`,
      finiteNumber('--backup-every'),
    )
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
      new Option('--bench-speed <factor>', 'how much faster than real the bench runs, 0.1 to 20')
        .argParser(finiteNumber('--bench-speed'))
        .default(1),
    )
    .addOption(
      new Option(
        '--bench-seed <number>',
        'which tubes and which operator the bench gets (1)',
      ).argParser(finiteNumber('--bench-seed')),
    )
    .option('--bench-mount <where>', `where its sensor sits: ${BENCH_MOUNTS.join(', ')}`)
    .option('--bench-pressure', "its board sends the ram's pressure on the second channel")
    .action(run)
  addWireOptions(command)
}
