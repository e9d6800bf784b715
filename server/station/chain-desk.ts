import { withCalibration } from '../blocks/shipped/with-calibration.ts'
import { withSensor } from '../blocks/shipped/with-sensor.ts'
import type { Block } from '../chain/block.ts'
import { compileChain } from '../chain/chain.ts'
import type { ChainFile } from '../chain/chain-file.ts'
import { ChainRefused } from '../chain/chain-refused.ts'
import { checkChain, withCodes } from '../chain/check.ts'
import type { Plan } from '../chain/plan.ts'
import type { History } from '../history/history.ts'
import { isoWithOffset } from '../history/iso-time.ts'
import type { Clock } from '../link/link.ts'
import type { ChainAsk, ChainRevision, ChainWaiting } from '../messages/chain.ts'
import type { Sensor } from '../messages/sensor.ts'
import type { Wire } from '../messages/wire.ts'
import { Refused } from '../web/station-door.ts'
import type { BendDesk } from './bend-desk.ts'
import { demandForBender } from './chain-demands.ts'
import { chainFor } from './chain-for.ts'
import { SHIPPED_REVISION } from './chain-view.ts'
import { keepReadout } from './keep-readout.ts'
import { sensorParameters } from './sensor-parameters.ts'
import type { StationParts } from './station-parts.ts'

interface Parts extends Pick<StationParts, 'software' | 'wire' | 'catalogue' | 'place'> {
  readonly history: Pick<History, 'addChainRevision' | 'newestChain'>
  readonly clock: Pick<Clock, 'wallMs'>
}

interface Around {
  /** Of the chain that runs. */
  sensor(): Sensor
  /** While a bend is in hand the chain is not changed under it. */
  desk(): Pick<BendDesk, 'isOpen' | 'setup'>
  /** The chain in force is another one now. */
  changed(): void
}

/** Says of a chain that was refused what the page shows: the sentence, and the block and port at fault. */
function refuseChain(error: unknown): never {
  if (!(error instanceof ChainRefused)) throw error
  const { message, block, port } = error
  const field = port === undefined ? block : `${block}.${port}`
  throw new Refused('chain-refused', message, field)
}

interface Waiting extends Pick<ChainWaiting, 'who' | 'why'> {
  readonly ask: ChainAsk
}

/** The plan of a chain as the station starts it: with a place for its calibration. */
const asStarted = (file: ChainFile, blocks: readonly Block[]) =>
  checkChain(withCalibration(file, null), blocks)

/** Which chain is in force, and how it becomes another. */
export class ChainDesk {
  readonly #parts: Parts
  readonly #around: Around
  #waiting: Waiting | null = null
  #trouble: string | null = null

  constructor(parts: Parts, around: Around) {
    this.#parts = parts
    this.#around = around
  }

  /** The shop's newest revision for a sensor; the shipped chain where there is none, or none that this version runs. */
  inForce(sensor: Sensor, wire: Wire | undefined): ChainFile {
    const shipped = chainFor(sensor, wire)
    const own = this.#parts.history.newestChain(shipped.name)
    this.#trouble = null
    if (own === null) return shipped
    try {
      const { file } = this.#planOf(fileIn(own), sensor, wire)
      return file
    } catch (error) {
      if (!(error instanceof ChainRefused)) throw error
      this.#trouble = `Revision ${own.name} r${own.revision} of the chain cannot run: ${error.message}`
      return shipped
    }
  }

  /** Why the shop's own chain does not run; null while it does, or there is none. */
  trouble(): string | null {
    return this.#trouble
  }

  waiting(): ChainWaiting | null {
    if (this.#waiting === null) return null
    const { who, why } = this.#waiting
    const { name } = this.shipped()
    const newest = this.#parts.history.newestChain(name)?.revision ?? SHIPPED_REVISION
    return { who, why, revision: `${name} r${newest + 1}` }
  }

  shipped(): ChainFile {
    return chainFor(this.#around.sensor(), this.#parts.wire?.())
  }

  /** A stored file with what the station itself puts in, as in the running one; as it is where it cannot run here. */
  asHere(file: unknown, running: ChainFile): unknown {
    try {
      const { file: checked } = checkChain(file, this.#parts.catalogue.blocks)
      const sensed = withSensor(checked, sensorParameters(this.#around.sensor()))
      return keepReadout(sensed, running)
    } catch (error) {
      if (!(error instanceof ChainRefused)) throw error
      return file
    }
  }

  /** A draft as it would run here. @throws Refused `chain-refused` with block and port. */
  check(file: unknown): Plan {
    try {
      return this.#planOf(file, this.#around.sensor(), this.#parts.wire?.())
    } catch (error) {
      return refuseChain(error)
    }
  }

  /** Puts a draft in force: now, or when the bend in hand is done. @throws Refused, HistoryError; nothing is changed then. */
  apply(ask: ChainAsk): 'now' | 'after-this-bend' {
    const plan = this.check(ask.file)
    if (this.#around.desk().isOpen()) {
      const { who, why } = ask
      this.#waiting = { who, why, ask }
      return 'after-this-bend'
    }
    this.#enter(ask, plan)
    return 'now'
  }

  /** Between bends, what waits is put in force. */
  settle(): void {
    if (this.#waiting === null || this.#around.desk().isOpen()) return
    const { ask } = this.#waiting
    this.#waiting = null
    try {
      this.#enter(ask, this.check(ask.file))
    } catch (error) {
      if (!(error instanceof Error)) throw error
      this.#trouble = `The chain was not changed: ${error.message}`
    }
  }

  #planOf(file: unknown, sensor: Sensor, wire: Wire | undefined): Plan {
    const { blocks } = this.#parts.catalogue
    const { file: checked } = checkChain(file, blocks)
    const plan = checkChain(withSensor(checked, sensorParameters(sensor)), blocks)
    demandForBender(asStarted(plan.file, blocks), asStarted(chainFor(sensor, wire), blocks))
    // What no schema can say, a block says when it is started.
    compileChain(plan.file, blocks)
    return plan
  }

  #enter({ file, who, why }: ChainAsk, plan: Plan): ChainRevision {
    const { history, clock, software, place } = this.#parts
    const { desk, changed } = this.#around
    const station = place?.name ?? desk().setup()?.setup.station ?? 'Bender'
    const entered = history.addChainRevision({
      schema: 1,
      at: isoWithOffset(clock.wallMs()),
      ...{ station, who, why, software },
      name: this.shipped().name,
      chain: JSON.stringify(withCodes(file as ChainFile, plan.blocks)),
    })
    changed()
    return entered
  }
}

/** The file of a revision, under the number that the log gave it. */
export function fileIn({ chain, name, revision }: ChainRevision): unknown {
  const file: unknown = JSON.parse(chain)
  return typeof file === 'object' && file !== null ? { ...file, name, revision } : file
}
