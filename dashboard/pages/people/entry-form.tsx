import type { ComponentChildren } from 'preact'
import { useForm } from '../../live/use-form.ts'
import { ChoiceField, SecretField, TextField } from '../../widgets/field.tsx'
import { SubmitButton } from '../../widgets/submit-button.tsx'
import { words } from '../../words/en.ts'

const { people: say } = words

/** A field of a form about people. Each that is shown must be filled in. */
export interface EntryField<Field extends string> {
  readonly field: Field
  readonly label: string
  readonly kind?: 'known-secret' | 'new-secret'
  /** The name that whoever fills in the form signs in with. */
  readonly isOwnName?: boolean
  readonly choices?: readonly { readonly key: string; readonly name: string }[]
  readonly help?: string | undefined
  readonly lengthMax?: number
}

interface EntryFormProps<Field extends string> {
  readonly id: string
  readonly act: string
  readonly first: Record<Field, string>
  /** Another button, beside the one that sends it. */
  readonly beside?: ComponentChildren
  /** Which fields there are, by what stands in them. */
  fields(texts: Record<Field, string>): readonly EntryField<Field>[]
  send(texts: Record<Field, string>): Promise<unknown>
}

/** A form about people: names, passwords, roles, reasons. What is sent is forgotten here. */
export function EntryForm<Field extends string>(props: EntryFormProps<Field>) {
  const idOf = (field: Field) => `${props.id}-${field}`
  const form = useForm<Field>(() => props.first, {
    idOf,
    problemsOf: (texts) =>
      Object.fromEntries(
        props
          .fields(texts)
          .filter(({ field, kind }) => (kind ? texts[field] : texts[field].trim()) === '')
          .map(({ field }) => [field, say.required]),
      ) as Partial<Record<Field, string>>,
    fieldOf: (path) => fields.find(({ field }) => field === path)?.field ?? null,
    async send(texts) {
      await props.send(texts)
      form.fill(props.first)
      return null
    },
  })
  const fields = props.fields(form.texts)
  return (
    <form class="act-form" aria-label={props.act} onSubmit={form.onSubmit}>
      {fields.map(({ field, kind, choices, isOwnName, ...rest }) => {
        const bound = {
          ...{ ...rest, id: idOf(field), value: form.texts[field] },
          problem: form.problems[field],
          onText: (text: string) => form.change(field, text),
        }
        if (choices) return <ChoiceField key={field} {...bound} choices={choices} />
        if (kind) return <SecretField key={field} {...bound} isNew={kind === 'new-secret'} />
        return (
          <TextField key={field} {...bound} autocomplete={isOwnName ? 'username' : undefined} />
        )
      })}
      <p class="act-doings">
        <SubmitButton name={props.act} isBusy={form.isBusy} />
        {props.beside}
      </p>
      <p class="form-refused" role="alert">
        {form.refusal}
      </p>
    </form>
  )
}
