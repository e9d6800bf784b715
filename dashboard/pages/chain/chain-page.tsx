import { useEffect, useState } from 'preact/hooks'
import type { ChainView } from '../../../server/messages/chain.ts'
import { api, sentenceOf } from '../../live/api.ts'
import { useRepeated } from '../../live/use-repeated.ts'
import { words } from '../../words/en.ts'
import { BlockSheet } from './block-sheet.tsx'
import { ChainDrawing } from './chain-drawing.tsx'
import { ChainText } from './chain-text.tsx'
import { type Flow, flowsAfter } from './flow.ts'
import { type Placed, place } from './layout.ts'

const { chain: say } = words

/** Faster than the eye reads digits, slower than the wire brings them. */
const ASK_EVERY_MS = 250

interface Shown {
  readonly view: ChainView
  readonly placed: Placed
}

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

/** What the drawing has of the screen, below the words. */
const sheetAspect = () => innerWidth / Math.max(320, innerHeight - 330)

/** The chain, placed anew when another one runs. */
function useChain(revision: string | null) {
  const [shown, setShown] = useState<Shown | null>(null)
  const [problem, setProblem] = useState<string | null>(null)
  useEffect(() => {
    let isWanted = true
    async function load(): Promise<void> {
      const view = await api.chain()
      const placed = await place(view.blocks, sheetAspect())
      if (isWanted) setShown({ view, placed })
    }
    load().then(
      () => isWanted && setProblem(null),
      (error: unknown) => isWanted && setProblem(sentenceOf(error)),
    )
    return () => {
      isWanted = false
    }
  }, [revision])
  return { shown, problem }
}

/** What goes over each output, asked several times a second while the page is on show. */
function useFlows() {
  const [state, setState] = useState<{
    flows: ReadonlyMap<string, Flow>
    revision: string | null
    problem: string | null
  }>({ flows: new Map(), revision: null, problem: null })
  useRepeated(async () => {
    try {
      const seen = await api.chainSeen()
      setState(({ flows, revision }) => ({
        flows: flowsAfter(seen, revision === seen.revision ? flows : new Map()),
        revision: seen.revision,
        problem: null,
      }))
    } catch (error) {
      setState((before) => ({ ...before, problem: sentenceOf(error) }))
    }
  }, ASK_EVERY_MS)
  return state
}

/** The chain at work: a drawing from the wire to the record, a block's particulars, and the same as text. */
export function ChainPage() {
  const { flows, revision, problem: silent } = useFlows()
  const { shown, problem } = useChain(revision)
  const [chosen, setChosen] = useState<string | null>(null)
  const [isText, setIsText] = useState(false)
  const trouble = problem ?? silent
  const block = shown?.view.blocks.find(({ id }) => id === chosen)
  return (
    <main class="desk chain">
      <h1>{say.title}</h1>
      <p class="desk-intro">{say.intro}</p>
      {trouble !== null && (
        <p class="form-refused" role="alert">
          {trouble}
        </p>
      )}
      {shown === null && trouble === null && <p>{say.placing}</p>}
      {shown !== null && (
        <>
          <div class="chain-head">
            <p>
              {say.revision(shown.view.revision)}. {shown.view.note}
            </p>
            <button type="button" class="plain" onClick={() => setIsText(!isText)}>
              {isText ? say.asDrawing : say.text}
            </button>
          </div>
          {isText ? (
            <ChainText view={shown.view} />
          ) : (
            <>
              <Legend />
              <ChainDrawing
                placed={shown.placed}
                flows={flows}
                chosen={chosen}
                choose={setChosen}
              />
            </>
          )}
          {block !== undefined && !isText && (
            <BlockSheet block={block} flows={flows} close={() => setChosen(null)} />
          )}
        </>
      )}
    </main>
  )
}
