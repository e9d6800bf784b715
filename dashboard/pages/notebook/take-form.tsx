import { useState } from 'preact/hooks'
import type { NotebookTaken } from '../../../server/messages/notebook.ts'
import { api, sentenceOf } from '../../live/api.ts'
import { useWho } from '../../live/use-who.ts'
import { lacksName, nameOf } from '../../live/who.ts'
import { WhoField } from '../../widgets/who-field.tsx'
import { notebookWords as say } from '../../words/en-notebook.ts'
import type { NotebookForm } from './notebook-ask.ts'

/** Who takes it over, and whether it is to teach. */
export function TakeForm(props: {
  form: NotebookForm
  lines: number
  onTaken: (taken: NotebookTaken) => void
}) {
  const { form, lines, onTaken } = props
  const acts = useWho()
  const [who, setWho] = useState('')
  const [teach, setTeach] = useState(false)
  const [problem, setProblem] = useState<string | null>(null)
  const [isBusy, setIsBusy] = useState(false)
  async function take() {
    setIsBusy(true)
    setProblem(null)
    try {
      onTaken(await api.takeNotebook({ ...form, who: nameOf(acts, who), teach }))
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
      <WhoField who={acts} id="notebook-who" label={say.who} value={who} onText={setWho} />
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
      <button type="submit" class="act" disabled={isBusy || lacksName(acts, who)}>
        {say.take(lines)}
      </button>
      <p class="form-refused" role="alert">
        {problem}
      </p>
    </form>
  )
}
