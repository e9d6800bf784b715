import { useEffect, useState } from 'preact/hooks'
import type { ProvedBend } from '../../../server/messages/chain.ts'
import type { BendPage } from '../../../server/messages/find.ts'
import { api, sentenceOf } from '../../live/api.ts'
import { words } from '../../words/en.ts'
import { moment } from '../../words/format.ts'
import type { Draft } from './draft.ts'
import { differing } from './proof-figures.ts'
import { ProofTable } from './proof-table.tsx'
import { ProofTrace } from './proof-trace.tsx'
import { Sheet } from './sheet.tsx'
import { useBends } from './use-bends.ts'

const { prove: say } = words.chain

/** Chosen at first: the newest. */
const FIRST_CHOSEN = 3

/** What the draft came to on recorded bends. */
export interface Proved {
  readonly draft: Draft
  readonly bends: readonly ProvedBend[]
}

interface Props {
  readonly draft: Draft
  readonly proved: Proved | null
  /** The check has accepted the draft. */
  readonly canRun: boolean
  onProved(proved: Proved): void
  close(): void
}

function BendChoice(props: {
  bends: BendPage['bends']
  chosen: ReadonlySet<number>
  toggle(id: number): void
}) {
  return (
    <fieldset class="proof-bends">
      <legend>{say.bends}</legend>
      {props.bends.map(({ id, part, piece, bendNumber, finishedAt }) => (
        <label key={id}>
          <input type="checkbox" checked={props.chosen.has(id)} onChange={() => props.toggle(id)} />
          <span>
            <b>{say.bend(id)}</b> {say.about(part, piece, bendNumber, moment(finishedAt))}
          </span>
        </label>
      ))}
    </fieldset>
  )
}

function Result({ proved, isStale }: { proved: Proved; isStale: boolean }) {
  const { bends } = proved
  const [id, setId] = useState<number | null>(null)
  const shown = bends.find((bend) => bend.id === id) ?? bends.find(({ why }) => why === null)
  return (
    <section aria-label={say.differences}>
      <p class={isStale ? 'form-refused' : 'proof-done'} role="status">
        {isStale ? say.stale : say.done(bends.length, differing(bends))}
      </p>
      <ProofTable bends={bends} shown={shown?.id ?? null} show={setId} />
      {shown && <ProofTrace bend={shown} />}
    </section>
  )
}

/** Runs one proof after another, and tells what went wrong. */
function useProving({ draft, onProved }: Props) {
  const [isBusy, setIsBusy] = useState(false)
  const [problem, setProblem] = useState<string | null>(null)
  async function prove(bends: number[]): Promise<void> {
    setIsBusy(true)
    setProblem(null)
    try {
      const proof = await api.proveChain({ file: draft, bends })
      onProved({ draft, bends: proof.bends })
    } catch (error) {
      setProblem(sentenceOf(error))
    } finally {
      setIsBusy(false)
    }
  }
  return { isBusy, problem, prove }
}

/** The draft on recorded bends: which, what differs, and both traces over each other. */
export function ProveSheet(props: Props) {
  const { draft, proved, canRun, close } = props
  const { bends, problem } = useBends()
  const [chosen, setChosen] = useState<ReadonlySet<number>>(new Set())
  const proving = useProving(props)
  useEffect(() => {
    if (bends) setChosen(new Set(bends.slice(0, FIRST_CHOSEN).map(({ id }) => id)))
  }, [bends])
  const toggle = (id: number) => {
    const next = new Set(chosen)
    if (!next.delete(id)) next.add(id)
    setChosen(next)
  }
  return (
    <Sheet title={say.title} close={close}>
      <p class="desk-intro">{say.intro}</p>
      {bends?.length === 0 && <p>{say.none}</p>}
      {bends !== null && bends.length > 0 && (
        <>
          <BendChoice bends={bends} chosen={chosen} toggle={toggle} />
          <button
            type="button"
            class="plain"
            disabled={!canRun || proving.isBusy || chosen.size === 0}
            onClick={() => void proving.prove([...chosen].sort((one, other) => other - one))}
          >
            {chosen.size === 0 ? say.atLeast : say.run(chosen.size)}
          </button>
        </>
      )}
      <p class="form-refused" role="alert">
        {problem ?? proving.problem}
      </p>
      {proving.isBusy && <p role="status">{say.running}</p>}
      {proved && !proving.isBusy && <Result proved={proved} isStale={proved.draft !== draft} />}
    </Sheet>
  )
}
