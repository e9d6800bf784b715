import { useState } from 'preact/hooks'
import type { ChainRevisionRow } from '../../../server/messages/chain.ts'
import { api, sentenceOf } from '../../live/api.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { words } from '../../words/en.ts'
import { moment } from '../../words/format.ts'
import type { Draft } from './draft.ts'
import { isDraft } from './draft-text.ts'
import { Sheet } from './sheet.tsx'

const { revisions: say } = words.chain

interface Props {
  /** The chain that runs: its list is asked anew when another one does. */
  readonly revision: string
  readonly isShipped: boolean
  open(draft: Draft, from: string): void
  close(): void
}

function Row({ row, open }: { row: ChainRevisionRow; open(): void }) {
  return (
    <tr>
      <th scope="row">
        {row.revision} {row.isInForce && <small>{say.inForce}</small>}
      </th>
      <td>{moment(row.at)}</td>
      <td>{row.who}</td>
      <td class="prose">{row.why}</td>
      <td>
        <button type="button" class="plain" aria-label={say.openOne(row.revision)} onClick={open}>
          {say.asDraft}
        </button>
      </td>
    </tr>
  )
}

function Table(props: { rows: readonly ChainRevisionRow[]; open(row: ChainRevisionRow): void }) {
  return (
    <div class="table-scroll">
      <table>
        <thead>
          <tr>
            <th scope="col">{say.revision}</th>
            <th scope="col">{say.when}</th>
            <th scope="col">{say.who}</th>
            <th scope="col">{say.why}</th>
            <td />
          </tr>
        </thead>
        <tbody>
          {props.rows.map((row) => (
            <Row key={row.id} row={row} open={() => props.open(row)} />
          ))}
        </tbody>
      </table>
    </div>
  )
}

/** Who changed the chain, when and why; each can be opened as the draft. */
export function RevisionsSheet({ revision, isShipped, open, close }: Props) {
  const { value: rows, problem } = useAnswer(`revisions ${revision}`, api.chainRevisions)
  const [refusal, setRefusal] = useState<string | null>(null)
  function get(ask: Promise<{ readonly file: unknown }>, from: string): void {
    setRefusal(null)
    ask.then(
      ({ file }) => isDraft(file) && open(file, from),
      (error: unknown) => setRefusal(sentenceOf(error)),
    )
  }
  return (
    <Sheet title={say.title} close={close}>
      <p class="desk-intro">{say.intro}</p>
      {rows?.length === 0 && <p>{say.none}</p>}
      {rows !== null && rows.length > 0 && (
        <Table rows={rows} open={(row) => get(api.chainRevision(row.id), row.revision)} />
      )}
      {!isShipped && (
        <p>
          <button type="button" class="plain" onClick={() => get(api.shippedChain(), say.shipped)}>
            {say.openShipped}
          </button>
        </p>
      )}
      <p class="form-refused" role="alert">
        {problem ?? refusal}
      </p>
    </Sheet>
  )
}
