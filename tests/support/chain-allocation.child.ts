import { encodeSentence } from '../../firmware-protocol/codec/encode.ts'
import { catalogue } from '../../server/blocks/index.ts'
import { type Chain, compileChain } from '../../server/chain/chain.ts'
import type { RawLine } from '../../server/chain/raw-line.ts'
import { allocationChains } from './chain-allocation-chains.ts'

// What each block allocates: run with --expose-gc, and with a young generation so large that nothing is collected
// while it is measured. `node … chain-allocation.child.ts <chain> <rows> <batch>` prints one object as JSON.

const RATE_HZ = 200
const COUNTS_PER_TURN = 16_384
/** Rows before anything is measured: all of the way is compiled by then. */
const WARM_UP_ROWS = 60_000
const ROUNDS = 4
/** Where the die rests: noise of a step or two, half a degree past zero at the most. */
const STEPS = [3, 4, 4, 5, 3, 4, 5, 4, 4, 2, 4, 6, 4]

const collect = (globalThis as { gc?: () => void }).gc
if (collect === undefined) throw new Error('Run this with --expose-gc.')

const [name = 'shipped', rowsText = '20000', batchText = '256'] = process.argv.slice(2)
const batch = Number(batchText)
const rows = Math.ceil(Number(rowsText) / batch) * batch
const usedBytes = () => process.memoryUsage().heapUsed

/** What was in use after a step less what was before it, by block. Its own cost is taken off at the end. */
const spentBytes = new Map<string, number>()
let isMeasuring = false
const metered = catalogue.map((block) => ({
  ...block,
  step(...all: Parameters<typeof block.step>) {
    const before = isMeasuring ? usedBytes() : 0
    block.step(...all)
    if (isMeasuring) add(block.kind, usedBytes() - before)
  },
}))
const add = (kind: string, bytes: number) =>
  void spentBytes.set(kind, (spentBytes.get(kind) ?? 0) + bytes)

const hello = {
  kind: 'hello',
  protocol: 1,
  firmware: '1.0',
  board: 'bench',
  sensor: 'absolute',
  countsPerTurn: COUNTS_PER_TURN,
  rateHz: RATE_HZ,
} as const
let nth = 0

/** As a port hands it over: in one piece, not yet to be joined from the parts it was made of. */
const inOnePiece = (text: string) => Buffer.from(text, 'latin1').toString('latin1')

function deviceLine(text: string): RawLine {
  return { arrivalS: nth / RATE_HZ + 0.002, from: 'device', text: inOnePiece(text) }
}

function restingLines(count: number): RawLine[] {
  return Array.from({ length: count }, () => {
    const text = encodeSentence({
      kind: 'sample',
      sequence: nth % 65_536,
      tickUs: Math.round((nth / RATE_HZ) * 1e6) % 2 ** 32,
      counts: STEPS[nth % STEPS.length] ?? 0,
      flags: 8,
      second: null,
    })
    nth++
    return deviceLine(text)
  })
}

function run(chain: Chain, lines: readonly RawLine[]): void {
  for (let from = 0; from < lines.length; from += batch) chain.push(lines.slice(from, from + batch))
}

/** Bytes that the meter itself takes each time, read as it is read in the run. */
function meterBytes(): number {
  const times = 1000
  const before = usedBytes()
  for (let time = 0; time < times; time++) usedBytes()
  return (usedBytes() - before) / (times + 1)
}

/** @returns bytes by block over so many rows. */
function measured(chain: Chain, count: number): Record<string, number> {
  const lines = restingLines(count)
  spentBytes.clear()
  collect?.()
  const own = meterBytes()
  isMeasuring = true
  run(chain, lines)
  isMeasuring = false
  return Object.fromEntries(
    [...spentBytes].map(([kind, bytes]) => [kind, bytes - own * (count / batch)]),
  )
}

/** The least of some rounds for each: in one of them code was thrown out by the collection and compiled again. */
function leastMeasured(chain: Chain, count: number): Record<string, number> {
  const rounds = Array.from({ length: ROUNDS }, () => measured(chain, count))
  return Object.fromEntries(
    Object.keys(rounds[0] ?? {}).map((kind) => [
      kind,
      Math.min(...rounds.map((round) => round[kind] ?? Number.NaN)),
    ]),
  )
}

/** @returns bytes of the whole chain over so many rows, its own work between the blocks with it. */
function whole(chain: Chain, count: number): number {
  const batches = Array.from({ length: count / batch }, () => restingLines(batch))
  collect?.()
  const before = usedBytes()
  for (const lines of batches) chain.push(lines)
  return usedBytes() - before
}

const file = allocationChains[name]
if (file === undefined) throw new Error(`There is no chain "${name}" to measure.`)
const chain = compileChain(file, metered)
const plain = compileChain(file, catalogue)
for (const outlet of ['live', 'bend', 'raw', 'device']) {
  chain.on(outlet, () => {})
  plain.on(outlet, () => {})
}
for (const one of [chain, plain]) {
  one.push([deviceLine(encodeSentence(hello))])
  run(one, restingLines(1000))
  const arrivalS = nth / RATE_HZ
  one.push(['datum', 'aim 95 0.2 1'].map((text) => ({ arrivalS, from: 'host', text })))
  run(one, restingLines(WARM_UP_ROWS))
}
// A collection throws out what compiled code was made for and is no more: that is compiled anew, before the measure.
for (let time = 0; time < 4; time++) {
  measured(chain, 8192)
  whole(plain, 8192)
}
console.log(
  JSON.stringify({
    rows,
    few: leastMeasured(chain, rows),
    many: leastMeasured(chain, 4 * rows),
    whole: whole(plain, rows),
  }),
)
