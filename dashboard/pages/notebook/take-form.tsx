import { useState } from 'preact/hooks'
import type { NotebookTaken } from '../../../server/messages/notebook.ts'
import { api, sentenceOf } from '../../live/api.ts'
import { TextField } from '../../widgets/field.tsx'
import { notebookWords as say } from '../../words/en-notebook.ts'
import type { NotebookForm } from './notebook-ask.ts'

/** Who takes it over, and whether it is to teach. */
export function TakeForm(props: {
  form: NotebookForm
  lines: number
  onTaken: (taken: NotebookTaken) => void
}) {
  const { form, lines, onTaken } = props
  const [who, setWho] = useState('')
  const [teach, setTeach] = useState(false)
  const [problem, setProblem] = useState<string | null>(null)
  const [isBusy, setIsBusy] = useState(false)
  async function take() {
    setIsBusy(true)
    setProblem(null)
    try {
      onTaken(await api.takeNotebook({ ...form, who: who.trim(), teach }))
    } catch (error) {
      setProblem(sentenceOf(error))
    } finally {
      setIsBusy(false)
    }
  }
  return (
    <form
      class="notebook-take"
      onSubmit={(event) => {
        event.preventDefault()
        void take()
      }}
    >
      <h2>{say.takeTitle}</h2>
      <TextField id="notebook-who" label={say.who} value={who} onText={setWho} />
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
      <button type="submit" class="act" disabled={isBusy || who.trim() === ''}>
        {say.take(lines)}
      </button>
      <p class="form-refused" role="alert">
        {problem}
      </p>
    </form>
  )
}
