import { formatHostLine, type HostLine } from '../bend/host-line.ts'
import type { BendMessage } from '../blocks/bend-record.ts'
import type { ReadoutRun } from '../blocks/calibration.ts'
import type { DeviceMessage } from '../blocks/device-feed.ts'
import type { LiveRun } from '../blocks/live-feed.ts'
import type { TapMessage } from '../blocks/tap-message.ts'
import type { Block } from '../chain/block.ts'
import { type Chain, compileChain } from '../chain/chain.ts'
import type { ChainFile } from '../chain/chain-file.ts'
import type { RawLine } from '../chain/raw-line.ts'
import type { RawRecord } from '../history/history.ts'
import type { ReceivedLine } from '../link/link.ts'
import type { TapCount } from '../messages/chain.ts'
import { makeRawLog } from './raw-log.ts'
import type { TapEar } from './taps/tap-desk.ts'

/** Who hears what comes out of the chain. */
export interface ChainEars {
  live(run: LiveRun): void
  /** The readout before its calibration; silent in a chain without one. */
  readout(run: ReadoutRun): void
  bend(message: BendMessage): void
  device(message: DeviceMessage): void
  /** Does what the chain's taps ask for; without it nothing leaves the chain. */
  readonly taps?: TapEar
}

/** A running chain and the log of every line that went into it: nothing else ever goes in. */
export interface ChainRun extends Pick<Chain, 'file' | 'revision' | 'watch' | 'unwatch' | 'seen'> {
  feed(lines: readonly ReceivedLine[]): void
  tell(line: HostLine): void
  /** Bounds the log between bends. */
  trim(bendIsOpen: boolean): void
  isFull(): boolean
  record(): RawRecord
  /** How the chain's taps are doing. */
  taps(): TapCount[]
}

/** @throws ChainRefused when the file is no good; nothing is running then. */
export function startChain(
  file: ChainFile,
  blocks: readonly Block[],
  nowS: () => number,
  ears: ChainEars,
): ChainRun {
  const chain = compileChain(file, blocks)
  // Its tests are no part of what a bend came out of.
  const { tests: _, ...recorded } = chain.file
  const log = makeRawLog(JSON.stringify(recorded), chain.snapshot())
  // The chain tells what it has run, in the order in which it ran it; what still waits is not on record.
  chain.on('raw', (lines) => (lines as readonly RawLine[]).forEach(log.add))
  // The outlets' types are the blocks' own: see `outlet` in each of these files.
  chain.on('live', (run) => ears.live(run as LiveRun))
  if (chain.file.blocks.some(({ kind }) => kind === 'calibration'))
    chain.on('readout', (run) => ears.readout(run as ReadoutRun))
  chain.on('bend', (message) => ears.bend(message as BendMessage))
  chain.on('device', (message) => ears.device(message as DeviceMessage))
  ears.taps?.begin(chain.file)
  const taps = new Set(blocks.filter(({ outlet }) => outlet === 'tap').map(({ kind }) => kind))
  if (chain.file.blocks.some(({ kind }) => taps.has(kind)))
    chain.on('tap', (message) => ears.taps?.hear(message as TapMessage))

  return {
    file: chain.file,
    revision: chain.revision,
    watch: chain.watch,
    unwatch: chain.unwatch,
    seen: chain.seen,
    feed(lines) {
      // A replayed record brings its host lines with it.
      chain.push(
        lines.map(({ arrivalS, from, text }) => ({ arrivalS, from: from ?? 'device', text })),
      )
    },
    tell(line) {
      chain.push([{ arrivalS: nowS(), from: 'host', text: formatHostLine(line) }])
    },
    trim: (bendIsOpen) => log.trim(bendIsOpen, chain.snapshot),
    isFull: log.isFull,
    record: log.record,
    taps: () => ears.taps?.counts() ?? [],
  }
}
