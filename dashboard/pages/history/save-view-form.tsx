import { useState } from 'preact/hooks'
import { VIEW_NAME_MAX } from '../../../server/messages/find-choices.ts'
import { ApiError, api } from '../../live/api.ts'
import { useForm } from '../../live/use-form.ts'
import { useWho } from '../../live/use-who.ts'
import { lacksName, nameOf } from '../../live/who.ts'
import { TextField } from '../../widgets/field.tsx'
import { SubmitButton } from '../../widgets/submit-button.tsx'
import { WhoField } from '../../widgets/who-field.tsx'
import { words } from '../../words/en.ts'
import { findWords } from '../../words/en-find.ts'
import { askedFilter, type Filter } from './filter-address.ts'

const say = findWords.views
const { required } = words.trail

const FIELDS = ['name', 'who'] as const
type Field = (typeof FIELDS)[number]
const idOf = (field: Field) => `view-${field}`

/** Saves the conditions as they stand, under a name, for everybody in the shop. */
export function SaveViewForm(props: { filter: Filter; onSaved: (name: string) => void }) {
  const who = useWho()
  /** The name of a view that is there already, once the daemon said so: sent again, it is meant. */
  const [taken, setTaken] = useState<string | null>(null)
  const form = useForm<Field>(() => ({ name: '', who: '' }), {
    idOf,
    who,
    problemsOf: (texts) => ({
      ...(texts.name.trim() === '' && { name: required }),
      ...(lacksName(who, texts.who) && { who: required }),
    }),
    fieldOf: (path) => FIELDS.find((field) => field === path) ?? null,
    async send(texts) {
      const name = texts.name.trim()
      const ask = { name, who: nameOf(who, texts.who), filter: askedFilter(props.filter) }
      try {
        await api.saveView({ ...ask, replaces: taken === name })
      } catch (error) {
        if (error instanceof ApiError && error.code === 'view-exists') setTaken(name)
        throw error
      }
      props.onSaved(name)
      return null
    },
  })
  const replaces = taken !== null && taken === form.texts.name.trim()
  return (
    <form class="filter" aria-label={say.save} onSubmit={form.onSubmit}>
      <TextField
        {...{ id: idOf('name'), label: say.name, value: form.texts.name }}
        lengthMax={VIEW_NAME_MAX}
        problem={form.problems.name}
        onText={(text) => form.change('name', text)}
      />
      <WhoField
        {...{ who, id: idOf('who'), value: form.texts.who }}
        problem={form.problems.who}
        onText={(text) => form.change('who', text)}
      />
      <SubmitButton name={replaces ? say.replace : say.save} isBusy={form.isBusy} />
      <p class="form-refused" role="alert">
        {form.refusal}
      </p>
    </form>
  )
}
