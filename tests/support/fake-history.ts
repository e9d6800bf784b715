import { createHash } from 'node:crypto'
import { HistoryError } from '../../server/history/errors.ts'
import { csvOf, jsonOf } from '../../server/history/export.ts'
import type {
  History,
  OpenBend,
  PlaceBend,
  RawRecord,
  ReadoutQuery,
  Verified,
} from '../../server/history/history.ts'
import { peopleAfter } from '../../server/history/people-log.ts'
import type { Act } from '../../server/messages/acts.ts'
import { marksOf, voidedBy } from '../../server/messages/bend-standing.ts'
import type { Bend, NewBend } from '../../server/messages/bends.ts'
import type { ChainRevision } from '../../server/messages/chain.ts'
import type { LoggedExport } from '../../server/messages/exports.ts'
import type { BendFilter, BendPage, BendQuery, BendSummary } from '../../server/messages/find.ts'
import type { PersonChange } from '../../server/messages/people.ts'
import type { EntryKind, ReadoutEntry } from '../../server/messages/readout.ts'
import type { Setup, StoredSetup } from '../../server/messages/setup.ts'
import { type ChartedBend, chartedOf } from './charted.ts'

const FIRST_HASH = '0'.repeat(64)
const CREATED_AT = '2026-01-05T07:00:00.000Z'

const sha256 = (text: string) => createHash('sha256').update(text).digest('hex')
const startedMs = (bend: Bend) => Date.parse(bend.startedAt)

function fits(bend: Bend, query: BendFilter): boolean {
  const { part, piece, lot, die, station, operator, verdict, from, to } = query
  return (
    (part === undefined || bend.part === part) &&
    (piece === undefined || bend.piece === piece) &&
    (lot === undefined || bend.lot === lot) &&
    (die === undefined || bend.setup.die.name === die) &&
    (station === undefined || bend.setup.station === station) &&
    (operator === undefined || bend.operator === operator) &&
    (verdict === undefined || bend.verdict === verdict) &&
    (from === undefined || startedMs(bend) >= Date.parse(from)) &&
    (to === undefined || startedMs(bend) < Date.parse(to))
  )
}

function marksIn(acts: readonly Act[], id: number) {
  const about = acts.filter(({ bendId }) => bendId === id)
  return about.length > 0 && { marks: marksOf(about) }
}

function pageOf(bends: readonly Bend[], acts: readonly Act[], query: BendQuery): BendPage {
  const fitting = bends.filter((bend) => fits(bend, query)).reverse()
  const { before, limit } = query
  const older = before === undefined ? fitting : fitting.filter((bend) => bend.id < before)
  const page = older.slice(0, limit)
  const last = page.at(-1)
  return {
    bends: page.map((bend) => ({ ...bend, ...marksIn(acts, bend.id) })),
    nextBefore: older.length > page.length && last ? last.id : null,
    nextAfter: null,
    total: fitting.length,
  }
}

function summaryOf(bends: readonly Bend[], filter: BendFilter): BendSummary {
  const fitting = bends.filter((bend) => fits(bend, filter))
  const withVerdict = (verdict: Bend['verdict']) =>
    fitting.filter((bend) => bend.verdict === verdict).length
  return {
    total: fitting.length,
    verdicts: {
      in: withVerdict('in'),
      under: withVerdict('under'),
      over: withVerdict('over'),
      incomplete: withVerdict('incomplete'),
    },
    earliest: fitting.at(0)?.startedAt ?? null,
    latest: fitting.at(-1)?.startedAt ?? null,
    ...{ void: 0, measured: 0, meanOffDeg: null, sdOffDeg: null, without: [] },
  }
}

const selectedOf = (bend: Bend): ChartedBend => ({
  ...{ id: bend.id, startedMs: startedMs(bend), lot: bend.lot, isVoid: false },
  ...{ die: bend.setup.die.name, station: bend.setup.station },
  offDeg: bend.releasedDeg === null ? Number.NaN : bend.releasedDeg - bend.wantedDeg,
  toleranceDeg: bend.toleranceDeg,
  springbackDeg: bend.springbackDeg ?? Number.NaN,
  ...{ wantedDeg: bend.wantedDeg, expandedDeg: Number.NaN },
  ...{ stopDeg: Number.NaN, tubeDeg: Number.NaN, aimDeg: Number.NaN },
})

const namesIn = (bends: readonly Bend[], nameOf: (bend: Bend) => string) => [
  ...new Set(bends.map(nameOf).reverse()),
]

function recorded(bend: NewBend, raw: RawRecord, previous: Bend | undefined): Bend {
  const previousHash = previous?.hash ?? FIRST_HASH
  return {
    id: (previous?.id ?? 0) + 1,
    ...bend,
    lot: bend.tube.lot,
    part: bend.job.part,
    piece: bend.job.piece,
    bendNumber: bend.job.bendNumber,
    operator: bend.job.operator,
    rawLines: raw.lines.length,
    rawSha256: sha256(raw.lines.join('\n')),
    previousHash,
    hash: sha256(previousHash + JSON.stringify(bend)),
  }
}

const logOf = (log: readonly { readonly hash: string }[]) => ({
  entries: log.length,
  firstBroken: null,
  head: log.at(-1)?.hash ?? FIRST_HASH,
})

function placeBendOf(bend: Bend): PlaceBend {
  const { id, setupId, simulated, wantedDeg, commandedDeg, releasedDeg } = bend
  return {
    ...{ id, setupId, simulated, wantedDeg, commandedDeg, releasedDeg },
    peakDeg: bend.peakDeg ?? Number.NaN,
    springbackDeg: bend.springbackDeg ?? Number.NaN,
    expectedDeg: bend.prediction?.springbackDeg ?? null,
    releasedExpandedDeg: bend.readout?.releasedExpandedDeg ?? null,
  }
}

/** A history in an array: what the web and the pages need, with no disk below it. */
export function makeFakeHistory(): History {
  const bends: Bend[] = []
  const raws: RawRecord[] = []
  const kept = new Map<string, unknown>()
  const log: ReadoutEntry[] = []
  const acts: Act[] = []
  const photos = new Map<string, Buffer>()
  const revisions: ChainRevision[] = []
  const stored: StoredSetup[] = []
  const changes: PersonChange[] = []
  const left: LoggedExport[] = []
  const secrets = new Map<string, string>()
  let open: OpenBend | null = null
  const verify = (): Verified => ({
    records: bends.length,
    intact: true,
    firstBroken: null,
    why: null,
    head: bends.at(-1)?.hash ?? FIRST_HASH,
    readout: logOf(log),
    acts: logOf(acts),
    chains: logOf(revisions),
    people: logOf(changes),
    exports: logOf(left),
  })
  return {
    append(bend, raw) {
      const record = recorded(bend, raw, bends.at(-1))
      bends.push(record)
      raws.push(raw)
      return record
    },
    page: (query) => pageOf(bends, acts, query),
    summary: (filter) => summaryOf(bends, filter),
    selectionSteps: (filter) => ({
      next: () => ({
        done: true,
        value: chartedOf(bends.filter((bend) => fits(bend, filter)).map(selectedOf)),
      }),
    }),
    knownNames: () => ({
      part: namesIn(bends, ({ part }) => part),
      lot: namesIn(bends, ({ lot }) => lot),
      die: namesIn(bends, ({ setup }) => setup.die.name),
      station: namesIn(bends, ({ setup }) => setup.station),
      operator: namesIn(bends, ({ operator }) => operator),
    }),
    bend: (id) => bends[id - 1] ?? null,
    raw: (id) => raws[id - 1] ?? null,
    lessons: () =>
      bends.flatMap(({ id, setupId, learned, peakDeg, springbackDeg, simulated }) =>
        learned === 'yes' && peakDeg !== null && springbackDeg !== null
          ? [{ id, setupId, peakDeg, springbackDeg, simulated }]
          : [],
      ),
    placeBends: ({ lot, setupIds, simulated, firstBend, lastBend }, newest) =>
      bends
        .filter((bend) => bend.lot === lot && setupIds.includes(bend.setupId))
        .filter((bend) => bend.learned === 'yes' && bend.simulated === simulated)
        .filter(({ id }) => id >= firstBend && id <= lastBend)
        .slice(-newest)
        .map(placeBendOf),
    bendsByHands: (hands, newest) =>
      bends
        .filter(
          ({ operator, setup, simulated }) =>
            operator === hands.operator &&
            setup.station === hands.station &&
            simulated === hands.simulated,
        )
        .slice(-newest),
    count: () => bends.length,
    openBend(bend) {
      open = bend
    },
    closeOpenBend() {
      open = null
    },
    leftOpen: () => open,
    leftOpenAt: () => (open === null ? [] : ['']),
    addSetup(setup: Setup) {
      const text = JSON.stringify(setup)
      const known = stored.find((one) => JSON.stringify(one.setup) === text)
      if (known) return known
      const added = { id: stored.length + 1, createdAt: CREATED_AT, setup }
      stored.unshift(added)
      return added
    },
    setups: () => [...stored],
    addReadoutEntry(entry) {
      const previousHash = log.at(-1)?.hash ?? FIRST_HASH
      const hash = sha256(previousHash + JSON.stringify(entry))
      const added = { id: log.length + 1, ...entry, previousHash, hash }
      log.push(added)
      return added
    },
    readoutEntry: (id) => log[id - 1] ?? null,
    readoutEntries: <K extends EntryKind>({ station, kind, before, limit }: ReadoutQuery<K>) =>
      log
        .filter((entry): entry is Extract<ReadoutEntry, { kind: K }> => entry.kind === kind)
        .filter((entry) => entry.station === station && entry.id < (before ?? Infinity))
        .reverse()
        .slice(0, limit),
    *exported(filter, format) {
      const fitting = bends.filter((bend) => fits(bend, filter))
      const actsOn = (id: number) => acts.filter((act) => act.bendId === id)
      yield* format === 'json' ? jsonOf(fitting, actsOn) : csvOf(fitting, true, actsOn)
    },
    addAct(act) {
      const about = bends[act.bendId - 1]
      const last = bends.at(-1)
      if (!about || !last) throw new HistoryError('HISTORY_BAD_ACT', { what: 'no such bend' })
      const previousHash = acts.at(-1)?.hash ?? FIRST_HASH
      const named = ({ id, hash }: Bend) => ({ number: id, hash })
      const evidence = { id: acts.length + 1, ...act, bend: named(about), after: named(last) }
      const added = {
        ...evidence,
        previousHash,
        hash: sha256(previousHash + JSON.stringify(evidence)),
      }
      acts.push(added)
      return added
    },
    actsOn: (bendId) => acts.filter((act) => act.bendId === bendId),
    addPhoto(image) {
      const kept = { sha256: createHash('sha256').update(image).digest('hex'), bytes: image.length }
      photos.set(kept.sha256, image)
      return { ...kept, type: 'image/png' }
    },
    photo(sha256) {
      const image = photos.get(sha256)
      return image ? { type: 'image/png', image } : null
    },
    decisions: () => {
      const decided = acts.filter((act) => act.kind === 'teaching')
      const last = new Map(decided.map(({ bendId, decision }) => [bendId, decision]))
      return [...last].map(([bendId, decision]) => ({ bendId, decision }))
    },
    voided: () =>
      bends.flatMap(({ id }) =>
        voidedBy(acts.filter(({ bendId }) => bendId === id)) === null ? [] : [id],
      ),
    addChainRevision(given) {
      const revision = revisions.filter(({ name }) => name === given.name).length + 2
      const previousHash = revisions.at(-1)?.hash ?? FIRST_HASH
      const evidence = { id: revisions.length + 1, ...given, revision }
      const hash = sha256(previousHash + JSON.stringify(evidence))
      const added = { ...evidence, previousHash, hash }
      revisions.push(added)
      return added
    },
    chainRevision: (id) => revisions[id - 1] ?? null,
    newestChain: (name) => revisions.findLast((one) => one.name === name) ?? null,
    chainRevisions: (name, limit) =>
      revisions
        .filter((one) => one.name === name)
        .reverse()
        .slice(0, limit),
    together: (work) => work(),
    addPersonChange(given, secret) {
      const previousHash = changes.at(-1)?.hash ?? FIRST_HASH
      const evidence = { id: changes.length + 1, ...given }
      const hash = sha256(previousHash + JSON.stringify(evidence))
      const added = { ...evidence, previousHash, hash }
      changes.push(added)
      if (secret !== null) secrets.set(given.person, secret)
      return added
    },
    people: () => peopleAfter(changes),
    personChanges: () => [...changes],
    secretOf: (person) => secrets.get(person) ?? null,
    addExport(given) {
      const previousHash = left.at(-1)?.hash ?? FIRST_HASH
      const last = bends.at(-1)
      const after = last ? { number: last.id, hash: last.hash } : null
      const evidence = { id: left.length + 1, ...given, after }
      const hash = sha256(previousHash + JSON.stringify(evidence))
      const added = { ...evidence, previousHash, hash }
      left.push(added)
      return added
    },
    exportsLogged: ({ before = Infinity, limit }) =>
      left
        .filter(({ id }) => id < before)
        .reverse()
        .slice(0, limit),
    remember: (key, value) => void kept.set(key, value),
    recall: (key) => kept.get(key),
    verify,
    verifySteps: () => ({ next: () => ({ done: true, value: verify() }) }),
    backup: async () => ({ records: bends.length, sha256: FIRST_HASH }),
    close: () => undefined,
  }
}
