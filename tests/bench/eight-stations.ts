import { fork } from 'node:child_process'
import { once } from 'node:events'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import type { StationState } from '../../server/messages/live.ts'
import type { Job, Setup } from '../../server/messages/setup.ts'
import { type Daemon, startDaemon, until } from '../support/daemon.ts'
import { endProcess } from '../support/programs.ts'
import { makePtyPair } from '../support/pty-pair.ts'
import type { PageGot, PagesOrder } from './eight-stations-pages.child.ts'
import { busyness, quantile } from './figures.ts'
import { write } from './wire-to-browser-write.ts'

/**
 * Eight benders at 1 kHz in one daemon, each in mid-bend behind a pseudo-terminal of its own, and twenty
 * dashboards; beside it, in the same run, one bender alone with as many. No sample may be missing in the
 * daemon's counters or on any dashboard.
 */
const STATIONS = [1, 8]
const DASHBOARDS = 20
const RATE_HZ = 1000
/** The die stands still for three seconds and turns by 80° in the others. */
const RUN_S = 19
/** The first seconds are those of cold code. */
const MEASURED_FROM_S = 4
/** Of Linux: /proc counts processor time in hundredths of a second. */
const TICKS_PER_S = 100

const SETUP: Omit<Setup, 'station'> = {
  die: { name: 'CLR 114.3', odMm: 38.1, clrMm: 114.3 },
  tube: { odMm: 38.1, wallMm: 1.65, material: '316l-annealed', lot: 'bench' },
  sensor: { mount: 'die', countsPerTurn: 0, direction: 'forward' },
}
const JOB: Job = {
  part: 'Bench',
  piece: 1,
  bendNumber: 1,
  operator: 'Bench',
  wantedDeg: 90,
  toleranceDeg: 1,
}

const nameOf = (nth: number) => `Bender ${nth + 1}`
const keyOf = (nth: number) => `bender-${nth + 1}`

async function openPages(order: PagesOrder) {
  const program = new URL('./eight-stations-pages.child.ts', import.meta.url)
  const child = fork(program, { execArgv: ['--import', 'tsx'] })
  const ready = once(child, 'message')
  child.send({ open: order })
  await ready
  return {
    async report(): Promise<readonly PageGot[]> {
      const answer = once(child, 'message')
      child.send({ report: true })
      const [{ pages }] = (await answer) as [{ pages: readonly PageGot[] }]
      return pages
    },
    close: () => endProcess(child, 'SIGKILL'),
  }
}

async function tell({ send }: Daemon, method: 'PUT' | 'POST', path: string, body: object) {
  const answer = await send(method, path, body)
  if (answer.status !== 200) throw new Error(`The daemon: ${JSON.stringify(answer.body)}`)
}

/** What the daemon has counted on the bender's wire. */
async function countersOf(daemon: Daemon, nth: number) {
  const { link } = await daemon.get<StationState>(`/api/stations/${keyOf(nth)}/station`)
  return link.counters
}

/** Processor time of a process so far, its own and the system's for it. */
function processorS(pid: number): number {
  const fields = readFileSync(`/proc/${pid}/stat`, 'latin1').split(') ')[1]?.split(' ') ?? []
  return (Number(fields[11]) + Number(fields[12])) / TICKS_PER_S
}

async function run(folder: string, stations: number) {
  const all = Array.from({ length: stations }, (_, nth) => nth)
  const ports = await Promise.all(
    all.map((nth) => makePtyPair(folder, `of-${stations}-${keyOf(nth)}`)),
  )
  const file = join(folder, `${stations}.json`)
  writeFileSync(
    file,
    JSON.stringify({
      stations: ports.map(({ path }, nth) => ({ name: nameOf(nth), serial: path })),
    }),
  )
  const daemon = await startDaemon(['--stations', file, '--data', join(folder, `${stations}`)])
  const live = `${daemon.url.replace('http', 'ws')}/live?station=`
  const urls = Array.from({ length: DASHBOARDS }, (_, nth) => live + keyOf(nth % stations))
  const pages = await openPages({ urls, origin: daemon.url })
  try {
    for (const nth of all) {
      const at = `/api/stations/${keyOf(nth)}/station`
      await tell(daemon, 'PUT', `${at}/setup`, { station: nameOf(nth), ...SETUP })
      await tell(daemon, 'PUT', `${at}/job`, JOB)
    }
    const wires = ports.map(({ path }) => `${path}-far-end`)
    const beforeS = processorS(daemon.pid)
    const writing = write({ wires, rateHz: RATE_HZ, samples: RUN_S * RATE_HZ })
    for (const nth of all) {
      const hasSamples = (counters: { samples: number }) => counters.samples > RATE_HZ
      const within = { seconds: 20, what: `the first second of ${nameOf(nth)}` }
      await until(() => countersOf(daemon, nth), hasSamples, within)
      await tell(daemon, 'POST', `/api/stations/${keyOf(nth)}/station/act`, { act: 'datum' })
    }
    const sent = await writing
    const usedS = processorS(daemon.pid) - beforeS
    await sleep(1000)
    const counters = await Promise.all(all.map((nth) => countersOf(daemon, nth)))
    return { sent, usedS, counters, got: await pages.report() }
  } finally {
    await Promise.all([daemon.stop(), pages.close()])
    await Promise.all(ports.map((port) => port.unplug()))
  }
}

/** Delays of one page, ms: the nth out is the nth in, since none is missing. */
const delaysMs = (sentMs: readonly number[], { arrivedMs }: PageGot) =>
  sentMs.map((sent, nth) => (arrivedMs[nth] ?? Number.NaN) - sent).slice(MEASURED_FROM_S * RATE_HZ)

const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0)

function rowOf(stations: number, { sent, usedS, counters, got }: Awaited<ReturnType<typeof run>>) {
  const written = sum(sent.map(({ length }) => length))
  const missing = sent.map((all, nth) => all.length - (counters[nth]?.samples ?? 0))
  const onPages = got.map((page, nth) => ({
    missing: (sent[nth % stations]?.length ?? 0) - page.arrivedMs.length,
    delays: delaysMs(sent[nth % stations] ?? [], page),
  }))
  const delays = onPages.flatMap((page) => page.delays)
  return {
    benders: stations,
    'samples written': written,
    'missing in the daemon': sum(missing),
    gaps: sum(counters.map(({ gaps }) => gaps)),
    dashboards: got.length,
    'missing on dashboards': sum(onPages.map((page) => page.missing)),
    'left out for slow ones': sum(got.map(({ omitted }) => omitted)),
    'delay ms, median': quantile(delays, 0.5).toFixed(2),
    '99 %': quantile(delays, 0.99).toFixed(2),
    'daemon, of one core': (usedS / RUN_S).toFixed(2),
  }
}

const folder = mkdtempSync(join(tmpdir(), 'overbend-eight-'))
const rows = []
try {
  for (const stations of STATIONS) rows.push(rowOf(stations, await run(folder, stations)))
} finally {
  rmSync(folder, { recursive: true, force: true })
}
console.log(
  `${RATE_HZ} Hz a bender for ${RUN_S} s, delay from the write on the wire to the page; ${busyness()}`,
)
console.table(rows)
const lost = rows.filter((row) => row['missing in the daemon'] + row['missing on dashboards'] > 0)
if (lost.length > 0) {
  console.error('Samples were lost.')
  process.exitCode = 1
}
