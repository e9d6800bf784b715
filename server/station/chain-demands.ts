import { ChainRefused } from '../chain/chain-refused.ts'
import type { Plan, PlannedBlock } from '../chain/plan.ts'

/** What a station cannot do without, by kind, and what would be lost. */
const NEEDED: Readonly<Record<string, string>> = {
  'raw-record': 'no bend could be run again',
  'live-feed': 'no page would show the angle',
  'bend-record': 'no bend would be recorded',
  'device-feed': 'nobody would see what the sensor says of itself',
}
/** What the angle must come through before bends are seen in it, and what it would lack. */
const BEFORE_THE_WATCH: Readonly<Record<string, string>> = {
  datum: 'bends would have no zero',
  calibration: 'the calibration of the readout would not be used',
}

const refuse = (sentence: string, block?: string, port?: string): never => {
  throw new ChainRefused('not for a bender', sentence, {
    ...(block !== undefined && { block }),
    ...(port !== undefined && { port }),
  })
}

function theOne({ blocks }: Plan, kind: string, why: string): PlannedBlock {
  const found = blocks.filter(({ block }) => block.kind === kind)
  const [one, other] = found
  if (one === undefined) return refuse(`A bender's chain needs a "${kind}" block, or ${why}.`)
  if (other !== undefined)
    return refuse(`There is one "${kind}" block too many: remove "${other.id}".`, other.id)
  return one
}

/** Kinds of all blocks that an input's values come through. */
function kindsBefore({ blocks }: Plan, start: PlannedBlock, port: string): ReadonlySet<string> {
  const first = start.inputs.get(port)
  const seen = new Set<number>()
  const waiting = first === undefined ? [] : [first.block]
  for (let place = waiting.pop(); place !== undefined; place = waiting.pop()) {
    if (seen.has(place)) continue
    seen.add(place)
    for (const source of blocks[place]?.inputs.values() ?? []) waiting.push(source.block)
  }
  return new Set([...seen].flatMap((place) => blocks[place]?.block.kind ?? []))
}

/** Two taps that take turns in one file would make rows that nobody can tell apart. */
function demandOwnFiles({ blocks }: Plan): void {
  const owners = new Map<unknown, string>()
  for (const { id, block, parameters, inputs } of blocks) {
    if (block.kind !== 'csv-tap') continue
    const file = parameters['file']
    const owner = owners.get(file)
    const port = [...inputs.keys()][0] ?? 'value'
    if (owner !== undefined)
      refuse(
        `${id}.${port} goes into the file "${file}", and so does "${owner}": give it a file of its own.`,
        ...[id, port],
      )
    owners.set(file, id)
  }
}

/**
 * What a chain must have besides being right in itself, so that a bender can work with it.
 *
 * @param shipped The chain that it was made from: what that has not, nobody asks for.
 * @throws ChainRefused `not for a bender` with block and port where they can be named.
 */
export function demandForBender(plan: Plan, shipped: Plan): void {
  if (plan.file.name !== shipped.file.name)
    refuse(
      `This chain is called "${plan.file.name}", and the one for this sensor "${shipped.file.name}": ` +
        'it is for another sensor.',
    )
  for (const [kind, why] of Object.entries(NEEDED)) theOne(plan, kind, why)
  const watch = theOne(plan, 'bend-watch', 'no bend would be seen')
  const before = kindsBefore(plan, watch, 'angle')
  const had = new Set(shipped.blocks.map(({ block }) => block.kind))
  for (const [kind, why] of Object.entries(BEFORE_THE_WATCH))
    if (had.has(kind) && !before.has(kind))
      refuse(
        `${watch.id}.angle does not come through a "${kind}" block, so ${why}: put one between.`,
        watch.id,
        'angle',
      )
  demandOwnFiles(plan)
}
