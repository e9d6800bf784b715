import type { ChainFile } from '../../chain/chain-file.ts'

/** Some blocks of a chain and what connects them. */
export type Part = Pick<ChainFile, 'blocks' | 'connections'>

/**
 * The first part of a chain: from the line to where the readout stands. Each is an output of one of its
 * blocks, as `block.port`; null where a sensor has no such thing.
 */
export interface Front extends Part {
  readonly gives: {
    /** Degrees of the readout, not yet from the datum. */
    readonly angle: string
    /** One value a reading, in counts: what the counters on the page count. */
    readonly counts: string
    /** What was wrong with a line. */
    readonly trouble: string
    /** What the device says of itself besides readings. */
    readonly device: string | null
    /** The zero is so no more. */
    readonly lost: string | null
    /** Pressure of the ram, bar. */
    readonly pressure: string | null
    /** A pedal or a limit switch as a pure number: 1 closed, 0 open. */
    readonly switch: string | null
  }
}

/** A connection, unless there is nothing to connect. */
export const wire = (from: string | null, to: string): ChainFile['connections'] =>
  from === null ? [] : [{ from, to }]

/** Every chain begins with the lines; what is heard is on record before anything is made of it. */
const INLET: Part = {
  blocks: [
    { id: 'link', kind: 'link' },
    // First, so that a bend's own lines are on record before the bend is.
    { id: 'raw-record', kind: 'raw-record' },
    { id: 'command', kind: 'command' },
  ],
  connections: [
    { from: 'link.line', to: 'raw-record.line' },
    { from: 'link.line', to: 'command.line' },
  ],
}

/** One chain file of its parts. */
export const joined = (
  head: Pick<ChainFile, 'name' | 'revision' | 'note'>,
  parts: readonly Part[],
): ChainFile => ({
  format: 'overbend-chain',
  version: 1,
  ...head,
  blocks: [INLET, ...parts].flatMap(({ blocks }) => blocks),
  connections: [INLET, ...parts].flatMap(({ connections }) => connections),
})
