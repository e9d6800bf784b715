import type { BendPage, BendSummary, KnownNames } from '../messages/find.ts'
import { HistoryError } from './errors.ts'
import type { History } from './history.ts'

const NO_PAGE: BendPage = { bends: [], nextBefore: null, nextAfter: null, total: 0 }
const NO_SUMMARY: BendSummary = {
  ...{ total: 0, void: 0, measured: 0, without: [] },
  verdicts: { in: 0, under: 0, over: 0, incomplete: 0 },
  ...{ earliest: null, latest: null, meanOffDeg: null, sdOffDeg: null },
}
const NO_NAMES: KnownNames = { part: [], lot: [], die: [], station: [], operator: [] }

/**
 * A history that could not be opened, so that the live angle can go on without it. Each write tries to
 * open it again; until one succeeds, writing throws what was in the way and a reader finds nothing. What an
 * earlier run left is not taken for nothing: asking for that tries, and throws, as a write does.
 */
function makeLateHistory(open: () => History): History {
  let opened: History | null = null
  const now = (): History => {
    opened ??= open()
    return opened
  }
  return {
    append: (bend, raw, otherIsOpen, station) => now().append(bend, raw, otherIsOpen, station),
    page: (query) => opened?.page(query) ?? NO_PAGE,
    summary: (filter) => opened?.summary(filter) ?? NO_SUMMARY,
    selectionSteps: (filter) => now().selectionSteps(filter),
    exported: (filter, format) => now().exported(filter, format),
    knownNames: () => opened?.knownNames() ?? NO_NAMES,
    bend: (id) => opened?.bend(id) ?? null,
    raw: (id) => opened?.raw(id) ?? null,
    lessons: () => opened?.lessons() ?? [],
    placeBends: (place, newest) => opened?.placeBends(place, newest) ?? [],
    bendsByHands: (hands, newest) => opened?.bendsByHands(hands, newest) ?? [],
    count: () => opened?.count() ?? 0,
    openBend: (bend, station) => now().openBend(bend, station),
    closeOpenBend: (station) => now().closeOpenBend(station),
    leftOpen: (station) => now().leftOpen(station),
    leftOpenAt: () => now().leftOpenAt(),
    addSetup: (setup) => now().addSetup(setup),
    setups: () => opened?.setups() ?? [],
    addReadoutEntry: (entry) => now().addReadoutEntry(entry),
    readoutEntry: (id) => opened?.readoutEntry(id) ?? null,
    readoutEntries: (query) => opened?.readoutEntries(query) ?? [],
    addAct: (act) => now().addAct(act),
    actsOn: (bendId) => opened?.actsOn(bendId) ?? [],
    addPhoto: (image) => now().addPhoto(image),
    photo: (sha256) => opened?.photo(sha256) ?? null,
    decisions: () => opened?.decisions() ?? [],
    voided: () => opened?.voided() ?? [],
    addChainRevision: (given) => now().addChainRevision(given),
    chainRevision: (id) => opened?.chainRevision(id) ?? null,
    newestChain: (name, station) => opened?.newestChain(name, station) ?? null,
    chainRevisions: (name, limit, station) => opened?.chainRevisions(name, limit, station) ?? [],
    together: (work) => now().together(work),
    addPersonChange: (given, secret) => now().addPersonChange(given, secret),
    // Nothing can be entered meanwhile, so that nobody acts in another's name; the bender stays usable.
    people: () => opened?.people() ?? [],
    personChanges: () => opened?.personChanges() ?? [],
    secretOf: (person) => opened?.secretOf(person) ?? null,
    addExport: (given) => now().addExport(given),
    exportsLogged: (query) => opened?.exportsLogged(query) ?? [],
    remember: (key, value) => now().remember(key, value),
    recall: (key) => now().recall(key),
    verify: (anchor) => now().verify(anchor),
    verifySteps: (anchor) => now().verifySteps(anchor),
    backup: (toFile, mayReplace) => now().backup(toFile, mayReplace),
    close: () => opened?.close(),
  }
}

/**
 * The history of a data folder; where the disk or the file is at fault, one that opens when it can.
 *
 * @returns `trouble`: the sentence for the page, null when the history is open.
 * @throws HistoryError when the folder is another program's, another daemon's or a newer version's.
 */
export function openOrLate(open: () => History): { history: History; trouble: string | null } {
  try {
    return { history: open(), trouble: null }
  } catch (error) {
    if (!(error instanceof HistoryError)) throw error
    const isDamaged = error.code === 'HISTORY_CORRUPT'
    if (!(isDamaged || error.remedy === 'disk')) throw error
    return { history: makeLateHistory(open), trouble: error.message }
  }
}
