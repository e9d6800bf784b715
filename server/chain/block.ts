import type { Static, TObject } from 'typebox'
import type { ItemColumn, NumberColumn } from './column.ts'
import type { Unit, UnitFrom } from './unit.ts'

/**
 * A port as a block declares it. A number's unit may be named by a parameter (`unitFrom`): when a chain is
 * checked, what the parameter says is put in.
 */
export type DeclaredPort =
  | { readonly carries: 'number'; readonly unit: Unit | UnitFrom; readonly help: string }
  | { readonly carries: 'item'; readonly item: string; readonly help: string }
export type DeclaredPorts = Readonly<Record<string, DeclaredPort>>

/** A port's type in a chain. Only equal types connect: unit for unit, item name for item name. */
export type Port =
  | { readonly carries: 'number'; readonly unit: Unit; readonly help: string }
  | Extract<DeclaredPort, { carries: 'item' }>
export type Ports = Readonly<Record<string, Port>>

export const number = <const U extends Unit | UnitFrom>(unit: U, help: string) =>
  ({ carries: 'number', unit, help }) as const
/** `item` is the name of what is carried; `T` its shape. Names match by equality. */
export const item = <T>(name: string, help: string) =>
  ({ carries: 'item', item: name, help }) as { carries: 'item'; item: string; help: string; of?: T }

type ColumnOf<P> = P extends { carries: 'number' }
  ? NumberColumn
  : P extends { carries: 'item'; of?: infer T }
    ? ItemColumn<NonNullable<T>>
    : never

/** What a block's step is given. Columns are bound once, when the chain is compiled. */
export interface Frame<I extends DeclaredPorts, O extends DeclaredPorts> {
  readonly in: { readonly [K in keyof I]: ColumnOf<I[K]> }
  readonly out: { readonly [K in keyof O]: ColumnOf<O[K]> }
  /** The block's name in its chain, for what it hands out. */
  readonly id: string
  /** Hands something to whoever subscribed to this block's outlet (live feed, records). */
  emit(message: unknown): void
}

export type Objection<Port extends string = string> = {
  readonly port: Port
  readonly why: string
} | null

/**
 * A function block: one file each, these parts in this order.
 *
 * `start` makes the memory from the checked parameters and may throw a RangeError with a sentence. The memory
 * is plain data with always the same keys, and all that a block remembers: a snapshot carries it as JSON.
 *
 * `step` treats rows 0 to rows − 1 and may not throw on data: bad data lowers quality. It fills every place of
 * its number outputs (value and quality; NONE where there is no value); item outputs are emptied by the engine
 * before each batch.
 */
export interface Block<
  P extends TObject = TObject,
  I extends DeclaredPorts = DeclaredPorts,
  O extends DeclaredPorts = DeclaredPorts,
  S extends object = object,
> {
  readonly kind: string
  /** SHA-256 of the file that it was loaded from, in hex; blocks that come with the program have none. */
  readonly code?: string
  /** One line, for the catalogue. */
  readonly summary: string
  readonly parameters: P
  readonly inputs: I
  readonly outputs: O
  /** Inputs that may stay unconnected. */
  readonly optional?: readonly (keyof I & string)[]
  /** Of the optional inputs those that cannot stay unconnected with these parameters. */
  needs?(parameters: Static<P>): readonly (keyof I & string)[]
  /**
   * What neither schema nor types can say: at which port these parameters, with these inputs connected, cannot
   * be, and what would mend it, as the end of a sentence that begins with the port. null when all is well.
   */
  objection?(parameters: Static<P>, connected: ReadonlySet<string>): Objection<keyof I & string>
  /** The output whose times this block sets itself; others take the time of their first number input. */
  readonly setsTime?: boolean
  /** Name of the outlet that `emit` feeds, for a block at the end of the chain. */
  readonly outlet?: string
  /**
   * A loop must pass through a block of this sort. Its `step` makes the outputs from the memory alone; it
   * takes the inputs into its memory in `latch`, when all other blocks have had their turn, and sets its
   * time, since its input's is not there yet. A chain with such a block runs a row at a time.
   */
  readonly delays?: boolean
  /** Samples (at the input's rate) by which outputs lag, where that is fixed. */
  delaySamples?(parameters: Static<P>): number
  start(parameters: Static<P>): S
  step(frame: Frame<I, O>, state: S, parameters: Static<P>, rows: number): void
  latch?(frame: Frame<I, O>, state: S, parameters: Static<P>, rows: number): void
}

/** Keeps the types of one block's parts together; returns it as it is. */
export const defineBlock = <
  P extends TObject,
  const I extends DeclaredPorts,
  const O extends DeclaredPorts,
  S extends object,
>(
  block: Block<P, I, O, S>,
): Block<P, I, O, S> => Object.freeze(block)
