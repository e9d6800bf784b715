import { useEffect, useState } from 'preact/hooks'
import type { ChainBlock } from '../../../server/messages/chain.ts'
import { ChoiceField, TextField } from '../../widgets/field.tsx'
import { words } from '../../words/en.ts'
import { type Connection, type Draft, endOf, type Kinds } from './draft.ts'
import { connectionKey } from './draft-changes.ts'
import { outputsFor } from './fitting.ts'
import { ParameterForm } from './parameter-form.tsx'
import { Sheet } from './sheet.tsx'
import type { Checked } from './use-check.ts'

const { edit: say } = words.chain

/** What can be done to a block on its sheet. */
export interface BlockActs {
  rename(to: string): void
  setParameter(name: string, value: unknown): void
  connect(to: string, from: string): void
  disconnect(to: string): void
  remove(): void
  openConnection(connection: Connection): void
  close(): void
}

interface Props {
  readonly draft: Draft
  readonly kinds: Kinds
  readonly block: ChainBlock
  readonly checked: Checked
  readonly acts: BlockActs
}

function Name({ block, acts }: Pick<Props, 'block' | 'acts'>) {
  const [text, setText] = useState(block.id)
  useEffect(() => setText(block.id), [block.id])
  return (
    <TextField
      id="block-name"
      label={say.name}
      help={say.nameHelp}
      value={text}
      lengthMax={40}
      onText={setText}
      onDone={() => text !== block.id && acts.rename(text)}
    />
  )
}

const carriedText = (name: string, of: string) => say.inputFrom(name, of)

function Input({ input, ...props }: Props & { readonly input: ChainBlock['inputs'][number] }) {
  const { draft, kinds, block, checked, acts } = props
  const to = `${block.id}.${input.name}`
  const isAtFault = checked.block === block.id && checked.port === input.name
  const fitting = outputsFor(draft, kinds, to)
  // What it is connected to stands in the list even where it does not fit.
  const outputs =
    input.from === null || fitting.includes(input.from) ? fitting : [input.from, ...fitting]
  return (
    <ChoiceField
      id={`input-${block.id}-${input.name}`}
      label={carriedText(input.name, input.of)}
      help={`${input.help} ${input.isOptional ? say.mayBe : say.mustBe}`}
      problem={isAtFault ? checked.why : undefined}
      value={input.from ?? ''}
      choices={[
        { key: '', name: say.unconnected },
        ...outputs.map((from) => ({ key: from, name: from })),
      ]}
      onText={(from) => (from === '' ? acts.disconnect(to) : acts.connect(to, from))}
    />
  )
}

function Connections({ draft, block, acts }: Pick<Props, 'draft' | 'block' | 'acts'>) {
  const its = draft.connections.filter(
    ({ from, to }) => endOf(from).id === block.id || endOf(to).id === block.id,
  )
  return (
    <>
      <h3>{say.connections}</h3>
      {its.length === 0 && <p>{say.noConnections}</p>}
      <ul class="connections">
        {its.map((one) => (
          <li key={connectionKey(one)}>
            <button type="button" class="plain" onClick={() => acts.openConnection(one)}>
              {say.connection(one.from, one.to)}
            </button>
          </li>
        ))}
      </ul>
    </>
  )
}

/** A block of the draft: its name, parameters and inputs as a form, and its connections. */
export function DraftBlockSheet(props: Props) {
  const { draft, block, checked, acts } = props
  const isAtFault = checked.block === block.id
  const isOfAnInput = block.inputs.some(({ name }) => name === checked.port)
  return (
    <Sheet
      title={words.chain.blockOf(block.id, block.kind)}
      acts={
        <button type="button" class="plain" onClick={acts.remove}>
          {say.removeBlock}
        </button>
      }
      close={acts.close}
    >
      <p>{block.summary}</p>
      {isAtFault && !isOfAnInput && <p class="form-refused">{checked.why}</p>}
      <form noValidate onSubmit={(event) => event.preventDefault()}>
        <fieldset class="group">
          <legend>{words.chain.parameters}</legend>
          <Name block={block} acts={acts} />
          <ParameterForm block={block} set={acts.setParameter} />
        </fieldset>
        {block.inputs.length > 0 && (
          <fieldset class="group group-wide">
            <legend>{say.inputs}</legend>
            {block.inputs.map((input) => (
              <Input key={`${block.id}.${input.name}`} {...props} input={input} />
            ))}
          </fieldset>
        )}
      </form>
      <Connections draft={draft} block={block} acts={acts} />
    </Sheet>
  )
}
