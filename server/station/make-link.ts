import { type BenchLink, makeBenchLink } from '../link/bench-link.ts'
import type { Clock, Link } from '../link/link.ts'
import { ModbusLink } from '../link/modbus-link.ts'
import { ReplayLink } from '../link/replay-link.ts'
import { SerialLink } from '../link/serial-link.ts'
import { makeTcpLink } from '../link/tcp-link.ts'
import type { ModbusOptions, Wire } from '../messages/wire.ts'
import type { BenchDoor } from './bench-door.ts'
import type { BenchSensor } from './bench-sensor.ts'
import { pollSpan } from './modbus-span.ts'

export interface LinkMaker {
  readonly clock: Clock
  /** Which tubes and which operator the bench gets. */
  readonly benchSeed: number
  /** Where its sensor sits; left out: on the die. */
  readonly benchSensor?: BenchSensor
  /** Serial number of the board that spoke last; null when none has. */
  readonly board: () => string | null
}

export interface MadeLink {
  readonly link: Link
  /** The bench behind the link, if it is one. */
  readonly bench: BenchDoor | null
}

/** The link of a wire, not yet open. */
export function makeLink(wire: Wire, maker: LinkMaker): MadeLink {
  if (wire.kind === 'bench') {
    const { benchSeed: seed, benchSensor: sensor, clock } = maker
    const pressure = sensor?.pressure ? {} : null
    const bench = makeBenchLink({ seed, clock, mount: sensor?.mount ?? 'die', pressure })
    return { link: bench, bench: benchDoor(bench) }
  }
  return { link: linkOf(wire, maker), bench: null }
}

function linkOf(wire: Exclude<Wire, { kind: 'bench' }>, { clock, board }: LinkMaker): Link {
  switch (wire.kind) {
    case 'replay':
      return new ReplayLink({ file: wire.file, clock, pace: 'original' })
    case 'modbus':
      return modbusLink(wire.path, wire.baud, wire.options, clock)
    case 'tcp':
      return makeTcpLink({
        host: wire.host,
        port: wire.port,
        clock,
        isMute: wire.dialect !== 'native',
      })
    case 'serial': {
      const port = { path: wire.path, baudRate: wire.baud, clock }
      if (wire.dialect !== 'native') return new SerialLink({ ...port, isMute: true })
      const sameBoard = (found: string) => board() === null || board() === found
      return new SerialLink({ ...port, sameBoard })
    }
  }
}

/** A sensor that answers in 20 ms can be asked 50 times a second; at 9600 baud it is about half of that. */
const POLL_S = 0.02
/** The slowest sensors take 100 ms (common practice, no source); a USB adapter may hold 16 ms back. */
const TIMEOUT_S = 0.3

function modbusLink(path: string, baudRate: number, options: ModbusOptions, clock: Clock): Link {
  const { unitId, pollS = POLL_S, timeoutS = TIMEOUT_S, parity = 'none' } = options
  const { register, count } = pollSpan(options)
  const poll = { unitId, function: options.function, register, count, timeoutS }
  return new ModbusLink({ path, baudRate, parity, poll, pollS, clock })
}

const benchDoor = (bench: BenchLink): BenchDoor => ({
  act: ({ mode, ram }) => bench.act({ mode, ram }),
  state: () => bench.benchState(),
  show: (prompt) => bench.show(prompt),
  useLot: bench.useLot,
})
