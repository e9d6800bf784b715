import { useForm } from '../../live/use-form.ts'
import { SecretField, TextField } from '../../widgets/field.tsx'
import { words } from '../../words/en.ts'

const { people: say } = words

const FIELDS = ['name', 'password'] as const
type Field = (typeof FIELDS)[number]

/** A name and a password: to sign in, or for the first administrator. */
export function CredentialsForm(props: {
  id: string
  act: string
  help?: string
  send: (texts: Record<Field, string>) => Promise<unknown>
}) {
  const idOf = (field: Field) => `${props.id}-${field}`
  const form = useForm<Field>(() => ({ name: '', password: '' }), {
    idOf,
    problemsOf: (texts) =>
      Object.fromEntries(
        FIELDS.filter((field) => texts[field] === '').map((field) => [field, say.required]),
      ),
    fieldOf: (path) => FIELDS.find((field) => field === path) ?? null,
    async send(texts) {
      await props.send(texts)
      return null
    },
  })
  const bound = (field: Field) => ({
    ...{ id: idOf(field), label: say[field], value: form.texts[field] },
    problem: form.problems[field],
    onText: (text: string) => form.change(field, text),
  })
  return (
    <form class="act-form" aria-label={props.act} onSubmit={form.onSubmit}>
      <TextField {...bound('name')} />
      <SecretField {...bound('password')} help={props.help} />
      <button type="submit" class="plain" disabled={form.isBusy}>
        {props.act}
      </button>
      <p class="form-refused" role="alert">
        {form.refusal}
      </p>
    </form>
  )
}
