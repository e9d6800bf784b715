import { makeRandom, type Random } from '../../firmware-protocol/bench/random.ts'
import { encodeSentence } from '../../firmware-protocol/codec/encode.ts'
import { makeLineSplitter } from '../../firmware-protocol/codec/line-splitter.ts'
import { formatModbusLine } from '../../firmware-protocol/codec/modbus-line.ts'
import type { DeviceMessage } from '../../server/blocks/device-feed.ts'
import { catalogue } from '../../server/blocks/index.ts'
import type { LiveRun } from '../../server/blocks/live-feed.ts'
import { compileChain } from '../../server/chain/chain.ts'
import type { RawLine } from '../../server/chain/raw-line.ts'
import type { Dialect, Wire } from '../../server/messages/wire.ts'
import { AS_BOARD_SAYS, chainFor } from '../../server/station/chain-for.ts'
import { xdrLine } from './dialect-lines.ts'

/** What a run came to. A chain that throws ends it. */
export interface FuzzOutcome {
  readonly lines: number
  readonly samples: number
  readonly refused: number
  /** What must not be, in words: empty when all is well. */
  readonly faults: string[]
  /** Longest state of the chain as text: it must not grow with what was heard. */
  readonly snapshotMaxChars: number
}

const PORT = { kind: 'serial', path: '/dev/x', baud: 9600 } as const
const WIRES: Readonly<Record<Dialect, Wire>> = {
  native: { ...PORT, dialect: 'native' },
  'nmea-xdr': {
    ...{ ...PORT, dialect: 'nmea-xdr' },
    options: { name: 'BEND', pressureName: '*', switchName: '*' },
  },
  number: {
    ...{ ...PORT, dialect: 'number' },
    options: { separator: 'comma', column: 2, pressureColumn: 3, switchColumn: 1 },
  },
  'modbus-rtu': {
    ...{ kind: 'modbus', path: '/dev/x', baud: 9600 },
    options: {
      ...{ unitId: 1, function: 'input', register: 0, registersAs: 'float32' },
      pressureRegister: 2,
    },
  },
}

const whole = (random: Random, below: number) => Math.floor(random.between(0, below))

/** A line as a sensor of the dialect sends it. */
function goodLine(dialect: Dialect, random: Random, nth: number): string {
  const deg = random.between(-400, 400).toFixed(2)
  switch (dialect) {
    case 'native':
      return encodeSentence({
        ...{ kind: 'sample', sequence: nth % 65_536, tickUs: (nth * 5000) % 2 ** 32 },
        ...{ counts: whole(random, 16_384), flags: whole(random, 16), second: null },
      })
    case 'nmea-xdr':
      return xdrLine(`A,${deg},D,BEND`, 'P,82.4,B,HYD', `S,${whole(random, 2)},,F`)
    case 'number':
      return `${whole(random, 2)},${deg},82.4`
    case 'modbus-rtu': {
      const registers = [0, 0, 0, 0].map(() => whole(random, 65_536))
      return formatModbusLine({ kind: 'answer', unitId: 1, ageUs: whole(random, 9999), registers })
    }
  }
}

/** What wires do to bytes: nothing, mostly; else flips, losses, repeats, strays, joins, floods, silence. */
function damaged(bytes: Uint8Array, random: Random): Uint8Array {
  const kind = whole(random, 16)
  const at = whole(random, bytes.length)
  if (kind === 0) bytes[at] = (bytes[at] ?? 0) ^ (1 << whole(random, 8))
  if (kind === 1) bytes[at] = whole(random, 256)
  if (kind === 2) return bytes.slice(at)
  if (kind === 3) return bytes.slice(0, at)
  if (kind === 4) return Uint8Array.from([...bytes.slice(0, at), ...bytes])
  if (kind === 5) return Uint8Array.from({ length: whole(random, 400) }, () => whole(random, 256))
  if (kind === 6)
    return Uint8Array.from({ length: whole(random, 60) }, () => 32 + whole(random, 95))
  return bytes
}

const bytesOf = (text: string) => Uint8Array.from(text, (char) => char.charCodeAt(0))

const BATCH = 64

/** Feeds a whole chain of the dialect with so many lines, good and damaged, and looks at what comes out. */
export function fuzzDialect(dialect: Dialect, lineCount: number, seed: number): FuzzOutcome {
  const random = makeRandom(seed, `fuzz ${dialect}`)
  const chain = compileChain(chainFor(AS_BOARD_SAYS, WIRES[dialect]), catalogue)
  const faults: string[] = []
  let lastS = 0
  let samples = 0
  let lines = 0
  let refused = 0
  chain.on('live', (message) => checkRun(message as LiveRun))
  chain.on('device', (message) => {
    const said = message as DeviceMessage
    if (said.type !== 'counters') return
    const { badChecksum, malformed, overlong, unknown } = said.counters
    lines = said.counters.lines
    samples = said.counters.samples
    refused = badChecksum + malformed + overlong + unknown
  })

  function fault(what: string): void {
    if (faults.length < 10) faults.push(what)
  }
  function checkRun({ timeS, angleDeg, rateDegPerS, quality }: LiveRun): void {
    timeS.forEach((at, nth) => {
      if (!(at >= lastS)) fault(`time went back from ${lastS} to ${at}`)
      lastS = at
      const [deg, rate] = [angleDeg[nth], rateDegPerS[nth]]
      if (!(Number.isFinite(deg) && Number.isFinite(rate))) fault(`${deg}° at ${rate} deg/s`)
      if (!(quality[nth] === 0 || quality[nth] === 1 || quality[nth] === 2))
        fault(`quality ${quality[nth]}`)
    })
  }

  let arrivalS = 100
  let given = 0
  let batch: RawLine[] = []
  let snapshotMaxChars = 0
  const splitter = makeLineSplitter((text) => {
    batch.push({ arrivalS, from: 'device', text })
  })
  for (let nth = 0; given + batch.length < lineCount; nth++) {
    splitter.push(damaged(bytesOf(`${goodLine(dialect, random, nth)}\r\n`), random))
    // Bursts, mostly steady, now and then a pause.
    const chance = random.between(0, 1)
    arrivalS += chance < 0.5 ? 0 : chance < 0.999 ? 0.01 : random.between(0, 30)
    if (batch.length < BATCH) continue
    chain.push(batch)
    given += batch.length
    batch = []
    if (nth % 1000 < BATCH) snapshotMaxChars = Math.max(snapshotMaxChars, chain.snapshot().length)
  }
  chain.push(batch)
  given += batch.length
  if (lines !== given) fault(`${given} lines given, ${lines} counted`)
  if (samples + refused > lines) fault(`${samples} readings and ${refused} refused of ${lines}`)
  return { lines, samples, refused, faults, snapshotMaxChars }
}
