import { useState } from 'preact/hooks'
import type { ChainView, TapCount } from '../../../server/messages/chain.ts'
import { words } from '../../words/en.ts'
import { BlockSheet } from './block-sheet.tsx'
import { ChainDrawing } from './chain-drawing.tsx'
import { ChainText } from './chain-text.tsx'
import { takeDraft } from './draft-store.ts'
import { isDraft } from './draft-text.ts'
import type { Flow } from './flow.ts'
import { focusOpener } from './focus.ts'
import type { Placed } from './layout.ts'
import { OwnBlocks } from './own-blocks.tsx'
import { RevisionsSheet } from './revisions-sheet.tsx'
import { beginningsOf, worstOf } from './where-it-begins.ts'

const { chain: say } = words

function Legend() {
  return (
    <ul class="chain-legend">
      {Object.entries(say.legend).map(([condition, text]) => (
        <li key={condition}>
          <svg width="42" height="12" aria-hidden="true">
            <polyline
              class={condition === 'item' ? 'flow item' : 'flow number'}
              data-condition={condition === 'item' ? 'good' : condition}
              points="2,6 40,6"
            />
          </svg>
          {text}
        </li>
      ))}
    </ul>
  )
}

interface Props {
  readonly view: ChainView
  readonly placed: Placed
  readonly flows: ReadonlyMap<string, Flow>
  readonly taps: readonly TapCount[]
}

function Head(props: {
  view: ChainView
  isText: boolean
  showText(isText: boolean): void
  showRevisions(): void
}) {
  const { view, isText } = props
  const { revision, note, waiting, file, own } = view
  return (
    <>
      <div class="chain-head">
        <p>
          {say.revision(revision)}. {note}
        </p>
        <p class="chain-acts">
          <button type="button" class="plain" onClick={() => props.showText(!isText)}>
            {isText ? say.asDrawing : say.text}
          </button>
          <button type="button" class="plain" data-opens="revisions" onClick={props.showRevisions}>
            {say.revisions.open}
          </button>
          {isDraft(file) && (
            <button type="button" class="plain" onClick={() => takeDraft(file, revision)}>
              {say.edit.change}
            </button>
          )}
        </p>
      </div>
      <OwnBlocks own={own} />
      {waiting !== null && (
        <p class="chain-waiting" role="status">
          {say.apply.waiting(waiting.revision, waiting.who, waiting.why)}
        </p>
      )}
    </>
  )
}

/** The chain that runs: a drawing with live values or a text, a block's particulars, and its revisions. */
export function RunningChain({ view, placed, flows, taps }: Props) {
  const [chosen, setChosen] = useState<string | null>(null)
  const [isText, setIsText] = useState(false)
  const [hasRevisions, setHasRevisions] = useState(false)
  const beginnings = beginningsOf(view.blocks, flows)
  const worst = worstOf(beginnings)
  const begins = new Map(
    beginnings.map(({ block: id }) => {
      const its = worstOf(beginnings.filter((one) => one.block === id))
      return [id, its === null ? '' : say.begins.mark(its.trouble, its.port)]
    }),
  )
  const block = view.blocks.find(({ id }) => id === chosen)
  return (
    <>
      <Head
        {...{ view, isText }}
        showText={setIsText}
        showRevisions={() => setHasRevisions(!hasRevisions)}
      />
      {hasRevisions && (
        <RevisionsSheet
          revision={view.revision}
          isShipped={view.isShipped}
          open={takeDraft}
          close={() => {
            setHasRevisions(false)
            focusOpener('revisions')
          }}
        />
      )}
      {isText ? (
        <ChainText view={view} />
      ) : (
        <>
          <Legend />
          {worst !== null && (
            <p class="chain-begins" data-trouble={worst.trouble}>
              {say.begins.sentence(worst)}
            </p>
          )}
          <ChainDrawing {...{ placed, flows, chosen, begins }} choose={setChosen} />
        </>
      )}
      {block !== undefined && !isText && (
        <BlockSheet
          block={block}
          flows={flows}
          tap={taps.find((one) => one.block === block.id)}
          close={() => setChosen(null)}
        />
      )}
    </>
  )
}
