import { DomainError } from '../bend/errors.ts'
import type { SetupPlace } from '../bend/setup-place.ts'
import { know, type SetupKnowledge, teach } from '../bend/shop-memory.ts'
import { type Decisions, newShopMemory, type ShopMemory } from '../bend/shop-nodes.ts'
import { materialOfTube } from '../bend/tube-metal.ts'
import type { History, StoredDecision, StoredLesson } from '../history/history.ts'
import type { StoredSetup } from '../messages/setup.ts'
import { makeTwoReadings } from './two-readings.ts'

/** @throws DomainError of `materialOfTube` */
export function placeOf({ station, die, tube }: StoredSetup['setup']): SetupPlace {
  return {
    material: materialOfTube(tube),
    lot: tube.lot,
    die: die.name,
    station,
    tube: { odMm: tube.odMm, wallMm: tube.wallMm, clrMm: die.clrMm },
  }
}

/** What bends have taught, and what their two readings say of each readout. */
interface Taught {
  readonly memory: ShopMemory
  readonly readings: ReturnType<typeof makeTwoReadings>
}

interface Memories {
  readonly real: Taught
  readonly simulated: Taught
}

function teachAt(
  { memory, readings }: Taught,
  place: SetupPlace,
  lesson: Omit<StoredLesson, 'setupId'>,
) {
  const { id, peakDeg } = lesson
  teach(memory, { id, place, loadedDeg: peakDeg, ...readings.read(place.station, lesson) })
}

/** What this version takes for no tube or no bend teaches nothing; the others are not held up by it. */
export function unlessNoSuchTube<T>(work: () => T): T | null {
  try {
    return work()
  } catch (error) {
    if (error instanceof DomainError) return null
    throw error
  }
}

type Told = Pick<History, 'lessons' | 'setups' | 'decisions' | 'voided'>

/** What people decided that the weights would not; a void bend is taken out too. */
function decisionsOf(history: Told, voided: readonly number[]): Decisions {
  const all = history.decisions()
  const those = (decision: StoredDecision['decision']) =>
    new Set(all.filter((one) => one.decision === decision).map(({ bendId }) => bendId))
  return { putBack: those('put-back'), takenOut: new Set([...those('taken-out'), ...voided]) }
}

function readAll(history: Told): Memories {
  const voided = history.voided()
  const decisions = decisionsOf(history, voided)
  const isVoid = new Set(voided)
  const nothing = (): Taught => ({
    memory: newShopMemory(decisions),
    readings: makeTwoReadings(),
  })
  const memories = { real: nothing(), simulated: nothing() }
  const places = new Map(
    history.setups().map(({ id, setup }) => [id, unlessNoSuchTube(() => placeOf(setup))]),
  )
  for (const lesson of history.lessons()) {
    const place = places.get(lesson.setupId) ?? null
    if (place === null) continue
    const taught = lesson.simulated ? memories.simulated : memories.real
    // Nor is a void bend's angle finder held against the readout.
    const { checked, ...rest } = lesson
    unlessNoSuchTube(() => teachAt(taught, place, isVoid.has(lesson.id) ? rest : lesson))
  }
  return memories
}

/**
 * What all tubes of this shop have taught, simulated ones apart. It is only ever what the history says, bend by
 * bend in its order, and what people decided of them, so that it comes out the same after a restart.
 */
export function makeShop(history: Told) {
  let memories: Memories | null = null
  let version = 0

  function taughtBy(simulated: boolean): Taught {
    memories ??= readAll(history)
    return simulated ? memories.simulated : memories.real
  }
  const memoryOf = (simulated: boolean): ShopMemory => taughtBy(simulated).memory

  return {
    /** All that was taught, to be read only. @throws HistoryError when the history cannot be read. */
    taught: memoryOf,

    /** @throws HistoryError when the history cannot be read; DomainError for a tube that there cannot be. */
    know: ({ setup }: StoredSetup, simulated: boolean): SetupKnowledge =>
      know(memoryOf(simulated), placeOf(setup)),

    /** @returns why the bend was set apart, or could not teach at all; null where it counts. */
    teach({ setup }: StoredSetup, lesson: Omit<StoredLesson, 'setupId'>): string | null {
      const taught = taughtBy(lesson.simulated)
      version++
      try {
        teachAt(taught, placeOf(setup), lesson)
      } catch (error) {
        // Read from the history it would be passed over, and the next bend is not held up by it either.
        if (error instanceof DomainError) return error.message
        throw error
      }
      return taught.memory.apart.get(lesson.id)?.why ?? null
    },

    /** What the angle finder says of a bender's readout under this calibration; null: nothing. */
    gapSentence: (station: string, calibration: number | null, simulated: boolean): string | null =>
      taughtBy(simulated).readings.gapAt(station, calibration).sentence,

    /** Another number whenever there is more to know than before. */
    version: (): number => version,

    /** The history can say more than when it was read. @throws HistoryError when it cannot be read. */
    readAnew(): void {
      memories = readAll(history)
      version++
    },
  }
}

export type Shop = ReturnType<typeof makeShop>
