import { useEffect, useState } from 'preact/hooks'
import type { ChainBlock } from '../../../server/messages/chain.ts'
import { ChoiceField, TextField } from '../../widgets/field.tsx'
import { words } from '../../words/en.ts'
import { type ParameterField, parameterFields, readField } from './parameter-field.ts'
import { textOf } from './schema.ts'

const { edit: say } = words.chain

interface FieldProps {
  readonly id: string
  readonly field: ParameterField
  readonly value: unknown
  set(value: unknown): void
}

const labelOf = ({ id, field }: FieldProps) => ({
  id: `parameter-${id}-${field.name}`,
  label: field.name,
  help: [field.help, field.range && `${field.range}.`].filter(Boolean).join(' '),
})

function Chosen(props: FieldProps) {
  const { field, value, set } = props
  const names: Readonly<Record<string, string>> = { true: say.on, false: say.off }
  const choices = field.form === 'boolean' ? [true, false] : field.choices
  return (
    <ChoiceField
      {...labelOf(props)}
      value={textOf(value)}
      choices={choices.map((choice) => ({
        key: textOf(choice),
        name: typeof choice === 'boolean' ? (names[String(choice)] ?? '') : textOf(choice),
      }))}
      onText={(text) => {
        const read = readField(text, field)
        if ('value' in read) set(read.value)
      }}
    />
  )
}

/** What is typed is taken when the field is left, or on Enter: not letter by letter. */
function Typed(props: FieldProps) {
  const { field, value, set } = props
  const [text, setText] = useState(textOf(value))
  const [why, setWhy] = useState<string | null>(null)
  useEffect(() => {
    setText(textOf(value))
    setWhy(null)
  }, [value])
  function done(): void {
    const read = readField(text, field)
    setWhy('why' in read ? read.why : null)
    if ('why' in read) return
    setText(textOf(read.value ?? field.schema.default))
    set(read.value)
  }
  return (
    <TextField
      {...labelOf(props)}
      value={text}
      numeric={field.form !== 'text'}
      lengthMax={field.schema.maxLength ?? 80}
      problem={why ?? undefined}
      onText={setText}
      onDone={done}
    />
  )
}

/** A block's parameters as a form, made from its schema. */
export function ParameterForm({
  block,
  set,
}: {
  block: ChainBlock
  set(name: string, value: unknown): void
}) {
  const fields = parameterFields(block.schema)
  if (fields.length === 0) return <p>{say.noParameters}</p>
  return (
    <>
      {fields.map((field) => {
        const One = field.form === 'choice' || field.form === 'boolean' ? Chosen : Typed
        return (
          <One
            key={`${block.id} ${field.name}`}
            id={block.id}
            field={field}
            value={block.parameters[field.name]}
            set={(value) => set(field.name, value)}
          />
        )
      })}
    </>
  )
}
