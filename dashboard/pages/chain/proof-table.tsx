import type { ProvedBend } from '../../../server/messages/chain.ts'
import { numberHead, TableHead } from '../../widgets/table-head.tsx'
import { words } from '../../words/en.ts'
import { compared, QUANTITIES } from './proof-figures.ts'

const { prove: say } = words.chain

function Cell({ bend, quantity }: { bend: ProvedBend; quantity: (typeof QUANTITIES)[number] }) {
  const { before, after, difference, isAlike } = compared(bend, quantity)
  if (isAlike)
    return (
      <td class="number">
        {before} <small>{say.same}</small>
      </td>
    )
  return (
    <td class="number proof-other">
      {say.fromTo(before, after)} <small>{difference}</small>
    </td>
  )
}

/** Each bend's figures, by the chain that recorded it and by the draft. */
export function ProofTable(props: {
  bends: readonly ProvedBend[]
  shown: number | null
  show(id: number): void
}) {
  return (
    <div class="table-scroll">
      <table class="proof-table" aria-label={say.differences}>
        <TableHead
          heads={[say.bends, ...QUANTITIES.map((quantity) => numberHead(say.quantities[quantity]))]}
        />
        <tbody>
          {props.bends.map((bend) => (
            <tr key={bend.id}>
              <th scope="row">
                <button
                  type="button"
                  class="plain"
                  aria-pressed={bend.id === props.shown}
                  aria-label={say.showTrace(bend.id)}
                  onClick={() => props.show(bend.id)}
                >
                  {say.bend(bend.id)}
                </button>
              </th>
              {bend.why === null ? (
                QUANTITIES.map((quantity) => (
                  <Cell key={quantity} bend={bend} quantity={quantity} />
                ))
              ) : (
                <td colSpan={QUANTITIES.length} class="prose">
                  {say.notRun} {bend.why}
                </td>
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}
