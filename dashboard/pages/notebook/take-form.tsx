import { useState } from 'preact/hooks'
import type { NotebookTaken } from '../../../server/messages/notebook.ts'
import { api } from '../../live/api.ts'
import { useForm } from '../../live/use-form.ts'
import { useWho } from '../../live/use-who.ts'
import { lacksName, nameOf } from '../../live/who.ts'
import { SubmitButton } from '../../widgets/submit-button.tsx'
import { WhoField } from '../../widgets/who-field.tsx'
import { words } from '../../words/en.ts'
import { notebookWords as say } from '../../words/en-notebook.ts'
import type { NotebookForm } from './notebook-ask.ts'

/** Who takes it over, and whether it is to teach. */
export function TakeForm(props: {
  form: NotebookForm
  lines: number
  onTaken: (taken: NotebookTaken) => void
}) {
  const who = useWho()
  const [teach, setTeach] = useState(false)
  const form = useForm<'who'>(() => ({ who: '' }), {
    idOf: (field) => `notebook-${field}`,
    who,
    problemsOf: (texts) => (lacksName(who, texts.who) ? { who: words.trail.required } : {}),
    fieldOf: (path) => (path === 'who' ? path : null),
    async send(texts) {
      const ask = { ...props.form, who: nameOf(who, texts.who), teach }
      props.onTaken(await api.takeNotebook(ask))
      return null
    },
  })
  return (
    <form class="notebook-take" onSubmit={form.onSubmit}>
      <h2>{say.takeTitle}</h2>
      <WhoField
        {...{ who, id: 'notebook-who', label: say.who, value: form.texts.who }}
        problem={form.problems.who}
        onText={(text) => form.change('who', text)}
      />
      <label class="notebook-teach">
        <input
          type="checkbox"
          checked={teach}
          aria-describedby="notebook-teach-help"
          onChange={(event) => setTeach(event.currentTarget.checked)}
        />
        {say.teach}
      </label>
      <p class="field-help" id="notebook-teach-help">
        {say.teachHelp}
      </p>
      <SubmitButton name={say.take(props.lines)} isBusy={form.isBusy} />
      <p class="form-refused" role="alert">
        {form.refusal}
      </p>
    </form>
  )
}
