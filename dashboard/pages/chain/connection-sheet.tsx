import { words } from '../../words/en.ts'
import { type Connection, type Draft, type Kinds, type PortType, portAt } from './draft.ts'
import { kindsInto } from './fitting.ts'
import { Sheet } from './sheet.tsx'

const { edit: say } = words.chain

interface Props {
  readonly draft: Draft
  readonly kinds: Kinds
  readonly connection: Connection
  insert(kind: string): void
  disconnect(): void
  close(): void
}

const carriesText = ({ carries, of }: PortType) =>
  carries === 'number' ? say.carriesNumber(of) : say.carriesItem(of)

/** One connection: what it carries, and the blocks that can be put into it. */
export function ConnectionSheet({ draft, kinds, connection, insert, disconnect, close }: Props) {
  const { from, to } = connection
  const type = portAt(draft, kinds, 'outputs', from)?.type ?? null
  const fitting = kindsInto(draft, kinds, connection)
  return (
    <Sheet
      title={say.connection(from, to)}
      label={say.openConnection(from, to)}
      acts={
        <button type="button" class="plain" onClick={disconnect}>
          {say.disconnect}
        </button>
      }
      close={close}
    >
      {type !== null && <p>{carriesText(type)}</p>}
      <h3>{say.insertHere}</h3>
      {fitting.length === 0 && <p>{say.noneFits}</p>}
      <ul class="fitting">
        {fitting.map(({ kind, summary }) => (
          <li key={kind}>
            <button type="button" class="plain" onClick={() => insert(kind)}>
              {say.insert} {kind}
            </button>
            <span>{summary}</span>
          </li>
        ))}
      </ul>
    </Sheet>
  )
}
