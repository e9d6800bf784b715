import {
  type BendDraft,
  type DraftState,
  draftAim,
  draftCue,
  draftCycle,
  newDraft,
} from '../bend/bend-draft.ts'
import type { CueEvent, CycleEvent } from '../bend/cycle-event.ts'
import type { HostLine } from '../bend/host-line.ts'
import { defineBlock, type Frame, item } from '../chain/block.ts'
import { strict } from '../chain/strict.ts'
import { COUNTS_LOST } from './unwrap.ts'

/** What comes out of the outlet `bend`: all that happens to a bend, in order, and the bend when it is closed. */
export type BendMessage =
  | { readonly type: 'event'; readonly event: CycleEvent }
  | { readonly type: 'cue'; readonly event: CueEvent }
  | { readonly type: 'draft'; readonly draft: BendDraft }
  | { readonly type: 'checked'; readonly checkedDeg: number }

const inputs = {
  events: item<readonly CycleEvent[]>('cycle-events', 'Of the bend watch.'),
  cue: item<CueEvent>('cue-event', 'Of the stop cue.'),
  command: item<HostLine>('host-line', '`aim` says where a go was to stop.'),
}
const outputs = {}

/** Folds what was seen into the draft of a bend: see `server/bend/bend-draft.ts`. */
export const bendRecord = defineBlock({
  kind: 'bend-record',
  summary: 'Makes the draft of a bend from what was seen.',
  parameters: strict({}),
  inputs,
  outputs,
  outlet: 'bend',
  start: (): DraftState => newDraft(),
  step(frame, memory, _, rows) {
    const { events, cue, command } = frame.in
    if (events.count + cue.count + command.count === 0) return
    for (let row = 0; row < rows; row++) foldRow(frame, memory, row)
  },
})

/**
 * When counts were lost is known to a second or two only: what was measured before it was told may be wrong
 * already. The goes stay on record as they were seen, and the bend counts as not measured.
 */
const doubted = (draft: BendDraft): BendDraft =>
  draft.closedBy === COUNTS_LOST ? { ...draft, complete: false } : draft

type RecordFrame = Frame<typeof inputs, typeof outputs>

const send = (frame: RecordFrame, message: BendMessage) => frame.emit(message)

function foldRow(frame: RecordFrame, memory: DraftState, row: number): void {
  const command = frame.in.command.items[row]
  if (command?.act === 'aim') draftAim(memory, command)
  if (command?.act === 'no-aim') draftAim(memory, null)
  if (command?.act === 'checked') send(frame, { type: 'checked', checkedDeg: command.checkedDeg })
  for (const event of frame.in.events.items[row] ?? []) {
    const draft = draftCycle(memory, event)
    send(frame, { type: 'event', event })
    if (draft) send(frame, { type: 'draft', draft: doubted(draft) })
  }
  const event = frame.in.cue.items[row]
  if (!event) return
  draftCue(memory, event)
  send(frame, { type: 'cue', event })
}
