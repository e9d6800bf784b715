import { useEffect, useState } from 'preact/hooks'
import type { ChainApplied, ChainView, TapCount } from '../../../server/messages/chain.ts'
import { api, sentenceOf } from '../../live/api.ts'
import { useRepeated } from '../../live/use-repeated.ts'
import { words } from '../../words/en.ts'
import { DraftPage } from './draft-page.tsx'
import { closeDraft, openDraft } from './draft-store.ts'
import { type Flow, flowsAfter } from './flow.ts'
import { type Placed, place } from './layout.ts'
import { RunningChain } from './running-chain.tsx'
import { sheetAspect } from './use-placed.ts'

const { chain: say } = words

/** Faster than the eye reads digits, slower than the wire brings them. */
const ASK_EVERY_MS = 250
/** While a changed chain waits for a bend to end: whether it still does. */
const WAITING_EVERY_MS = 2000

interface Shown {
  readonly view: ChainView
  readonly placed: Placed
}

/** The chain, placed anew when another one runs, or one was handed over to run. */
function useChain(revision: string | null, handedOver: number) {
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
  }, [revision, handedOver])
  return { shown, problem }
}

/** What goes over each output, asked several times a second while the page is on show. */
function useFlows() {
  const [state, setState] = useState<{
    flows: ReadonlyMap<string, Flow>
    taps: readonly TapCount[]
    revision: string | null
    problem: string | null
  }>({ flows: new Map(), taps: [], revision: null, problem: null })
  useRepeated(async () => {
    try {
      const seen = await api.chainSeen()
      setState(({ flows, revision }) => ({
        flows: flowsAfter(seen, revision === seen.revision ? flows : new Map()),
        taps: seen.taps,
        revision: seen.revision,
        problem: null,
      }))
    } catch (error) {
      setState((before) => ({ ...before, problem: sentenceOf(error) }))
    }
  }, ASK_EVERY_MS)
  return state
}

/** The chain at work, from the wire to the record; or the draft of another one. */
export function ChainPage() {
  const { flows, taps, revision, problem: silent } = useFlows()
  const [handedOver, setHandedOver] = useState(0)
  const [said, setSaid] = useState<string | null>(null)
  const { shown, problem } = useChain(revision, handedOver)
  const isWaiting = shown !== null && shown.view.waiting !== null
  useEffect(() => {
    if (!isWaiting) return
    const timer = setTimeout(() => setHandedOver((count) => count + 1), WAITING_EVERY_MS)
    return () => clearTimeout(timer)
  }, [isWaiting, shown])
  const isDraft = openDraft.value !== null
  useEffect(() => {
    if (isDraft) setSaid(null)
  }, [isDraft])
  const trouble = problem ?? silent
  function applied({ when, revision: running }: ChainApplied): void {
    closeDraft()
    setHandedOver((count) => count + 1)
    // What waits, the running chain's own line says until it runs.
    setSaid(when === 'now' ? say.apply.now(running) : null)
  }
  return (
    <main class="desk chain">
      <h1>{isDraft ? say.edit.title : say.title}</h1>
      {!isDraft && <p class="desk-intro">{say.intro}</p>}
      <p>
        <a class="chain-blocks" href="#/chain/blocks">
          {say.blocks}
        </a>
      </p>
      {trouble !== null && (
        <p class="form-refused" role="alert">
          {trouble}
        </p>
      )}
      {shown === null && trouble === null && <p>{say.placing}</p>}
      {!isDraft && said !== null && (
        <p class="chain-waiting" role="status">
          {said}
        </p>
      )}
      {shown !== null && isDraft && <DraftPage view={shown.view} onApplied={applied} />}
      {shown !== null && !isDraft && <RunningChain {...shown} flows={flows} taps={taps} />}
    </main>
  )
}
