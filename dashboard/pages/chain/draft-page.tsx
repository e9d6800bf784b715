import { useMemo, useState } from 'preact/hooks'
import type { ChainApplied, ChainView } from '../../../server/messages/chain.ts'
import { api } from '../../live/api.ts'
import { useStation } from '../../live/context.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { words } from '../../words/en.ts'
import { AddSheet } from './add-sheet.tsx'
import { ApplySheet } from './apply-sheet.tsx'
import { ChainDrawing } from './chain-drawing.tsx'
import { ConnectionSheet } from './connection-sheet.tsx'
import type { Draft, Kinds } from './draft.ts'
import { DraftBar } from './draft-bar.tsx'
import { DraftBlockSheet } from './draft-block-sheet.tsx'
import { draftBlocks } from './draft-blocks.ts'
import { type Changes, changesOf, connectionKey } from './draft-changes.ts'
import { DraftChangesList } from './draft-changes-list.tsx'
import { flagsOf } from './draft-flags.ts'
import { DraftLegend } from './draft-legend.tsx'
import { DraftState } from './draft-state.tsx'
import type { Steps } from './draft-steps.ts'
import { openDraft, stepTo } from './draft-store.ts'
import { isDraft } from './draft-text.ts'
import { DraftTextView } from './draft-text-view.tsx'
import type { Flow } from './flow.ts'
import { type Proved, ProveSheet } from './prove-sheet.tsx'
import { type Checked, useCheck } from './use-check.ts'
import { useDraftActs } from './use-draft-acts.ts'
import { usePlaced } from './use-placed.ts'
import { useUndoKeys } from './use-undo-keys.ts'

const { edit: say } = words.chain

interface Props {
  readonly view: ChainView
  readonly steps: Steps
  readonly kinds: Kinds
  onApplied(applied: ChainApplied): void
}

type Acts = ReturnType<typeof useDraftActs>

const NO_FLOWS: ReadonlyMap<string, Flow> = new Map()

function Drawing(props: {
  blocks: ReturnType<typeof draftBlocks>
  changes: Changes
  checked: Checked
  acts: Acts
}) {
  const { blocks, changes, checked, acts } = props
  const { placed, problem } = usePlaced(blocks)
  const { chosen } = acts
  if (problem !== null) return <p role="alert">{words.chain.notPlaced(problem)}</p>
  if (placed === null) return <p>{words.chain.placing}</p>
  const line = chosen !== null && 'connection' in chosen ? connectionKey(chosen.connection) : null
  return (
    <>
      <DraftLegend />
      <ChainDrawing
        placed={placed}
        flows={NO_FLOWS}
        chosen={chosen !== null && 'block' in chosen ? chosen.block : null}
        choose={(block) => acts.open({ block })}
        drafting={{
          flags: flagsOf(changes, checked),
          newLines: new Set(changes.connected.map(connectionKey)),
          chosenLine: line,
          chooseLine: (connection) => acts.open({ connection }),
        }}
      />
    </>
  )
}

/** What is chosen of the drawing: a block or a connection that the draft still has. */
function Particulars(props: {
  draft: Draft
  kinds: Kinds
  blocks: ReturnType<typeof draftBlocks>
  checked: Checked
  acts: Acts
}) {
  const { draft, kinds, blocks, checked, acts } = props
  const { chosen } = acts
  if (chosen === null || 'sheet' in chosen) return null
  if ('block' in chosen) {
    const block = blocks.find(({ id }) => id === chosen.block)
    if (block === undefined) return null
    return (
      <DraftBlockSheet
        key={acts.opened}
        {...{ draft, kinds, block, checked }}
        acts={acts.blockActs(block.id)}
      />
    )
  }
  const { connection } = chosen
  const key = connectionKey(connection)
  if (!draft.connections.some((one) => connectionKey(one) === key)) return null
  return (
    <ConnectionSheet
      key={acts.opened}
      {...{ draft, kinds, connection }}
      insert={(kind) => acts.insert(connection, kind)}
      disconnect={() => acts.disconnect(connection)}
      close={acts.close}
    />
  )
}

function OwnSheets(props: {
  draft: Draft
  kinds: Kinds
  canRun: boolean
  acts: Acts
  onApplied: Props['onApplied']
}) {
  const { draft, kinds, canRun, acts, onApplied } = props
  const [proved, setProved] = useState<Proved | null>(null)
  const who = useStation().state.value?.job?.operator ?? ''
  const { chosen, close } = acts
  if (chosen === null || !('sheet' in chosen)) return null
  if (chosen.sheet === 'add') return <AddSheet kinds={kinds} add={acts.add} close={close} />
  if (chosen.sheet === 'prove')
    return <ProveSheet {...{ draft, proved, canRun, close }} onProved={setProved} />
  const isProved = proved?.draft === draft
  return canRun && <ApplySheet {...{ draft, isProved, who, onApplied, close }} />
}

/** The draft: drawn or as text, with what differs, what the check says, and what can be done. */
function DraftAtWork({ view, steps, kinds, onApplied }: Props) {
  const draft = steps.now
  const blocks = useMemo(() => draftBlocks(draft, kinds), [draft, kinds])
  const running = isDraft(view.file) ? view.file : draft
  const changes = changesOf(running, draft)
  const checked = useCheck(draft)
  const acts = useDraftActs(draft, kinds)
  const [isText, setIsText] = useState(false)
  useUndoKeys()
  const canRun = checked.state === 'accepted'
  return (
    <>
      <DraftBar
        {...{ steps, isText }}
        canApply={canRun && changes.count > 0}
        showText={setIsText}
        open={(sheet) => acts.open({ sheet })}
      />
      <DraftChangesList changes={changes} />
      <DraftState
        {...{ checked, why: acts.why }}
        canOpen={blocks.some(({ id }) => id === checked.block)}
        open={(block) => acts.open({ block })}
      />
      {isText ? (
        <DraftTextView draft={draft} take={stepTo} />
      ) : (
        <Drawing {...{ blocks, changes, checked, acts }} />
      )}
      <Particulars {...{ draft, kinds, blocks, checked, acts }} />
      <OwnSheets {...{ draft, kinds, canRun, acts, onApplied }} />
    </>
  )
}

/** The chain being changed on this screen; the one that runs goes on meanwhile. */
export function DraftPage({ view, onApplied }: Pick<Props, 'view' | 'onApplied'>) {
  const { value: catalogue, problem } = useAnswer('chain kinds', api.chainKinds)
  const kinds = useMemo(
    () => catalogue && new Map(catalogue.map((kind) => [kind.kind, kind])),
    [catalogue],
  )
  const open = openDraft.value
  if (open === null) return null
  const { begunFrom, steps } = open
  return (
    <>
      <p class="desk-intro">{say.intro}</p>
      <p>
        {say.began(begunFrom)} {begunFrom !== view.revision && say.movedOn(view.revision)}
      </p>
      {problem !== null && (
        <p class="form-refused" role="alert">
          {problem}
        </p>
      )}
      {kinds === null ? (
        problem === null && <p>{say.loading}</p>
      ) : (
        <DraftAtWork {...{ view, steps, kinds, onApplied }} />
      )}
    </>
  )
}
