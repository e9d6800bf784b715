import { createHash } from 'node:crypto'
import { Type } from 'typebox'
import { Value } from 'typebox/value'
import type { History } from '../../history/history.ts'
import { isoWithOffset } from '../../history/iso-time.ts'
import type { Clock } from '../../link/link.ts'
import type { NotebookAsk, NotebookTake, NotebookTaken } from '../../messages/notebook.ts'
import { strict } from '../../messages/schema.ts'
import type { StoredSetup } from '../../messages/setup.ts'
import { type NotebookDoor, Refused, type TeachingDoor } from '../../web/station-door.ts'
import { NO_LINES } from '../left-open.ts'
import { wholeSetup } from '../whole-setup.ts'
import { importedBend } from './imported-bend.ts'
import type { NotebookLine } from './read-line.ts'
import { previewOf, readNotebook, refuseProblems } from './read-notebook.ts'

const TAKEN_KEY = 'notebooks imported'
/** A shop has fewer notebooks; the oldest are forgotten first. */
const TAKEN_MAX = 200

/** Read and recorded in one go, so many lines keep the daemon from anything else for some hundredths of a second. */
const LINES_BESIDE_A_BEND = 200
const LINE_ENDS = /\r\n|\r|\n/g

const TakenBefore = Type.Array(
  strict({ sha256: Type.String(), first: Type.Integer(), last: Type.Integer() }),
)

export interface NotebookParts {
  readonly history: Pick<
    History,
    'setups' | 'addSetup' | 'append' | 'together' | 'remember' | 'recall'
  >
  readonly clock: Pick<Clock, 'wallMs'>
  readonly software: string
  /** Of every bender: what was taught is made anew in all of them. */
  readonly teaching: () => readonly TeachingDoor[]
}

/** A long file is read, and entered, in one go: a stop must not be called late for it. */
function refuseBesideABend({ text }: NotebookAsk, benders: readonly TeachingDoor[]): void {
  const below = text.trimEnd().match(LINE_ENDS)?.length ?? 0
  if (below <= LINES_BESIDE_A_BEND || !benders.some((bender) => bender.isBending())) return
  throw new Refused(
    'not-now',
    `Somebody bends just now, and ${below} lines would hold up the call of the stop: try again once that bend is done, or with ${LINES_BESIDE_A_BEND} at a time.`,
  )
}

/** Takes over a shop's old notebook: looked at first, then all of it or nothing. */
export function makeNotebookDesk(parts: NotebookParts): NotebookDoor {
  const { history, clock, software } = parts

  function read(ask: NotebookAsk) {
    refuseBesideABend(ask, parts.teaching())
    return readNotebook(ask, clock.wallMs())
  }

  function setupOf({ setupId }: NotebookAsk): StoredSetup {
    const setup = history.setups().find(({ id }) => id === setupId)
    if (setup === undefined)
      throw new Refused('no-such-setup', `There is no set-up number ${setupId}.`, 'setupId')
    return setup
  }

  const before = () => {
    const kept = history.recall(TAKEN_KEY)
    return Value.Check(TakenBefore, kept) ? kept : []
  }

  function refuseTwice(sha256: string): void {
    const taken = before().find((each) => each.sha256 === sha256)
    if (taken === undefined) return
    const { first, last } = taken
    throw new Refused(
      'notebook-refused',
      `This file was imported before, as records ${first} to ${last}: nothing was imported.`,
      'text',
    )
  }

  function record(take: NotebookTake, lines: readonly NotebookLine[], sha256: string) {
    const made = setupOf(take)
    const at = isoWithOffset(clock.wallMs())
    const setups = new Map<string, StoredSetup>([[made.setup.tube.lot, made]])
    const setupFor = (lot: string): StoredSetup => {
      const { setup } = made
      const known =
        setups.get(lot) ?? history.addSetup(wholeSetup({ ...setup, tube: { ...setup.tube, lot } }))
      setups.set(lot, known)
      return known
    }
    const ids = lines.map((line) => {
      const imported = { file: take.file, sha256, line: line.line, by: take.who, at }
      const setup = setupFor(line.lot ?? made.setup.tube.lot)
      const bend = importedBend(line, { setup, imported, software, teach: take.teach })
      return history.append(bend, NO_LINES, true).id
    })
    const taken = { first: ids[0] ?? 0, last: ids.at(-1) ?? 0 }
    history.remember(TAKEN_KEY, [...before(), { sha256, ...taken }].slice(-TAKEN_MAX))
    return { bends: ids.length, ...taken }
  }

  function takeOver(take: NotebookTake): NotebookTaken {
    setupOf(take)
    const notebook = read(take)
    refuseProblems(notebook)
    const sha256 = createHash('sha256').update(take.text).digest('hex')
    refuseTwice(sha256)
    // In the order they were made: numbers are given in it.
    const lines = notebook.lines.toSorted(
      (a, b) => Date.parse(a.startedAt) - Date.parse(b.startedAt),
    )
    const taken = history.together(() => record(take, lines, sha256))
    if (take.teach) for (const bender of parts.teaching()) bender.retaught()
    return taken
  }

  return { preview: (ask) => previewOf(read(ask), setupOf(ask)), take: takeOver }
}
