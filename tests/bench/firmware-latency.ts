import { once } from 'node:events'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { WebSocket } from 'ws'
import { makeRandom } from '../../firmware-protocol/bench/random.ts'
import { startDaemon, until } from '../support/daemon.ts'
import { plugInFirmware } from '../support/firmware.ts'
import { makeHand } from '../support/firmware-host.ts'
import { busyness, quantile } from './figures.ts'
import { delaysOf, type Heard } from './firmware-latency-delays.ts'

/**
 * From an edge of the encoder to the browser, through the real firmware on the simulated board and the real
 * daemon. The board's simulated time is paced to the machine's own clock, so an edge has a moment on both.
 */
const EDGES = 400
const COUNTS_PER_TURN = 4096
/** The smoother is still again long before the next edge. */
const APART_US = 150_000
/** A sample's period and more, so that edges fall anywhere within it. */
const SCATTER_US = 20_000
/** Evenly spread by itself, so that a run can be made again. */
const SEED = 1
/** The clocks are mapped and the code is warm. */
const WARM_MS = 10_000

const nowUs = () => Number(process.hrtime.bigint()) / 1000

/** Notes messages and when they came; what they say is looked at when the run is over. */
async function openBrowser(url: string) {
  const heard: Heard[] = []
  const socket = new WebSocket(`${url.replace('http', 'ws')}/live`, { origin: url })
  socket.on('message', (data) => {
    const wallUs = nowUs()
    heard.push({ wallUs, text: String(data) })
  })
  await once(socket, 'open')
  return { heard, close: () => socket.close() }
}

/** One count forward, one back, and so on. @returns When, in simulated microseconds. */
async function moveEncoder(hand: ReturnType<typeof makeHand>): Promise<number[]> {
  const random = makeRandom(SEED, 'edges')
  const edgesUs: number[] = []
  for (let edge = 1; edge <= EDGES; edge++) {
    const waitUs = APART_US + Math.round(random.between(0, SCATTER_US))
    const still = { counts: (edge - 1) % 2, pressed: false }
    const [, atUs] = hand.move(
      { ...still, afterUs: waitUs },
      { ...still, afterUs: 1, counts: edge % 2 },
    )
    if (atUs !== undefined) edgesUs.push(atUs)
    await sleep(waitUs / 1000)
  }
  return edgesUs
}

async function run(folder: string) {
  const board = await plugInFirmware({ COUNTS_PER_TURN }, 'LATENCY')
  const hand = makeHand(board)
  const daemon = await startDaemon(['--serial', board.tty, '--data', join(folder, 'data')])
  try {
    const browser = await openBrowser(daemon.url)
    await until(
      async () => browser.heard.length,
      (count) => count > 500,
      {
        seconds: 60,
        what: 'samples',
      },
    )
    await sleep(WARM_MS)
    board.order('tell-lines')
    const edgesUs = await moveEncoder(hand)
    await sleep(2000)
    browser.close()
    const zeroUs = board.zeroUs()
    return delaysOf({ edgesUs, zeroUs, lines: board.lines(), heard: browser.heard })
  } finally {
    await daemon.stop()
    hand.rest()
    await board.stop()
  }
}

const folder = mkdtempSync(join(tmpdir(), 'overbend-latency-'))
try {
  const delays = await run(folder)
  console.log(`From an edge of the encoder to the browser, ${EDGES} edges; ${busyness()}`)
  console.table(
    Object.entries(delays).map(([part, ms]) => ({
      part,
      'median ms': quantile(ms, 0.5).toFixed(2),
      '99 % ms': quantile(ms, 0.99).toFixed(2),
    })),
  )
} finally {
  rmSync(folder, { recursive: true, force: true })
}
process.exit(0)
