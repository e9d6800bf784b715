import { useState } from 'preact/hooks'
import {
  NOTEBOOK_LENGTH_MAX,
  type NotebookPreview,
  type NotebookTaken,
} from '../../../server/messages/notebook.ts'
import type { StoredSetup } from '../../../server/messages/setup.ts'
import { api, sentenceOf } from '../../live/api.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { notebookWords as say } from '../../words/en-notebook.ts'
import { ColumnsForm } from './columns-form.tsx'
import { decodeFile, type Encoding } from './decode-file.ts'
import { HowRead } from './how-read.tsx'
import { guessStyle, mappedWithin, type NotebookForm } from './notebook-ask.ts'
import { Problems, Rows } from './preview-tables.tsx'
import { StyleForm } from './style-form.tsx'
import { TakeForm } from './take-form.tsx'

/** What is chosen, what the daemon makes of it, and what went wrong. */
function useNotebook(setups: readonly StoredSetup[]) {
  const [form, setForm] = useState<NotebookForm | null>(null)
  const [header, setHeader] = useState<readonly string[]>([])
  const [preview, setPreview] = useState<NotebookPreview | null>(null)
  const [problem, setProblem] = useState<string | null>(null)
  const [encoding, setEncoding] = useState<Encoding>('utf-8')
  const [taken, setTaken] = useState<NotebookTaken | null>(null)

  async function look(next: NotebookForm, isGuess: boolean) {
    setForm(next)
    setPreview(null)
    setProblem(null)
    try {
      const seen = await api.previewNotebook(next)
      setHeader(seen.header)
      if (!isGuess) return setPreview(seen)
      await look({ ...next, mapping: seen.guess }, false)
    } catch (error) {
      setProblem(sentenceOf(error))
    }
  }

  async function choose(file: File | undefined) {
    setTaken(null)
    setPreview(null)
    const bytes = await file?.arrayBuffer().catch(() => null)
    const setupId = form?.setupId ?? setups[0]?.id
    if (file === undefined || setupId === undefined) return
    if (bytes === null || bytes === undefined) return setProblem(say.unreadable)
    const { text, encoding: found } = decodeFile(new Uint8Array(bytes))
    setEncoding(found)
    if (text.length > NOTEBOOK_LENGTH_MAX) return setProblem(say.tooLong(NOTEBOOK_LENGTH_MAX))
    await look(
      { file: file.name.slice(-80), text, ...guessStyle(text), setupId, mapping: {} },
      true,
    )
  }

  return {
    ...{ form, header, preview, problem, encoding, taken, choose },
    look: () =>
      form && void look({ ...form, mapping: mappedWithin(form.mapping, header.length) }, false),
    /** Another separator makes other columns: they are guessed anew. */
    restyle: (next: NotebookForm) => void look(next, next.separator !== form?.separator),
    /** What was looked over holds no more. */
    remap(next: NotebookForm) {
      setForm(next)
      setPreview(null)
    },
    done(now: NotebookTaken) {
      setTaken(now)
      setForm(null)
      setPreview(null)
    },
  }
}

function Notebook({ setups }: { setups: readonly StoredSetup[] }) {
  const book = useNotebook(setups)
  const { form, header, preview, taken } = book
  return (
    <>
      <div class="field">
        <label for="notebook-file">{say.file}</label>
        <input
          id="notebook-file"
          type="file"
          accept=".csv,.txt,text/csv,text/plain"
          onChange={(event) => void book.choose(event.currentTarget.files?.[0])}
        />
      </div>
      <p class="form-refused" role="alert">
        {book.problem}
      </p>
      <p role="status">{taken && say.taken(taken.bends, taken.first, taken.last)}</p>
      {form && (
        <form
          class="notebook-how"
          onSubmit={(event) => {
            event.preventDefault()
            book.look()
          }}
        >
          <StyleForm form={form} setups={setups} onChange={book.restyle} />
          {header.length > 0 && <ColumnsForm form={form} header={header} onChange={book.remap} />}
          <button type="submit" class="plain">
            {say.look}
          </button>
        </form>
      )}
      {form && preview && <HowRead form={form} encoding={book.encoding} />}
      {preview && preview.problemCount > 0 && <Problems {...preview} />}
      {preview && preview.rows.length > 0 && <Rows {...preview} />}
      {form && preview && preview.problemCount === 0 && preview.lines > 0 && (
        <TakeForm form={form} lines={preview.lines} onTaken={book.done} />
      )}
    </>
  )
}

/** Takes over a shop's old notebook: chosen, looked over, then all of it or nothing. */
export function NotebookPage() {
  const { value, problem } = useAnswer('set-ups', () => api.setups())
  return (
    <main class="desk notebook">
      <p class="record-links">
        <a class="plain" href="#/history">
          {say.back}
        </a>
      </p>
      <h1>{say.title}</h1>
      <p class="desk-intro">{say.intro}</p>
      {problem && (
        <p class="form-refused" role="alert">
          {problem}
        </p>
      )}
      {value?.length === 0 && <p>{say.noSetup}</p>}
      {value && value.length > 0 && <Notebook setups={value} />}
    </main>
  )
}
