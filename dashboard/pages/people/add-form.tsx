import { ROLES, type Role } from '../../../server/messages/people.ts'
import { api } from '../../live/api.ts'
import { useForm } from '../../live/use-form.ts'
import { ChoiceField, SecretField, TextField } from '../../widgets/field.tsx'
import { words } from '../../words/en.ts'

const { people: say } = words

const FIELDS = ['name', 'role', 'password', 'reason'] as const
type Field = (typeof FIELDS)[number]
const EMPTY: Record<Field, string> = { name: '', role: 'operator', password: '', reason: '' }

const idOf = (field: Field) => `person-${field}`

/** An administrator enrols a person. */
export function AddForm({ onDone }: { onDone: () => void }) {
  const form = useForm<Field>(() => EMPTY, {
    idOf,
    problemsOf: (texts) =>
      Object.fromEntries(
        FIELDS.filter((field) => texts[field].trim() === '').map((field) => [field, say.required]),
      ),
    fieldOf: (path) => FIELDS.find((field) => field === path) ?? null,
    async send({ role, ...texts }) {
      await api.addPerson({ who: texts.name, ...texts, role: role as Role })
      form.fill(EMPTY)
      onDone()
      return null
    },
  })
  const bound = (field: Field) => ({
    ...{ id: idOf(field), label: say[field], value: form.texts[field] },
    problem: form.problems[field],
    onText: (text: string) => form.change(field, text),
  })
  return (
    <form class="act-form" aria-label={say.add} onSubmit={form.onSubmit}>
      <TextField {...bound('name')} />
      <ChoiceField
        {...bound('role')}
        choices={ROLES.map((key) => ({ key, name: say.roles[key] }))}
      />
      <SecretField {...bound('password')} help={say.passwordHelp} />
      <TextField {...bound('reason')} lengthMax={500} />
      <button type="submit" class="plain" disabled={form.isBusy}>
        {say.add}
      </button>
      <p class="form-refused" role="alert">
        {form.refusal}
      </p>
    </form>
  )
}
