import { useMemo } from 'preact/hooks'
import type { NotebookTaken } from '../../../server/messages/notebook.ts'
import type { StoredSetup } from '../../../server/messages/setup.ts'
import { api, sentenceOf } from '../../live/api.ts'
import { focusSoon, STATUS_LINE } from '../../live/focus-soon.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { notebookWords as say } from '../../words/en-notebook.ts'
import { ColumnsForm } from './columns-form.tsx'
import { HowRead } from './how-read.tsx'
import { makeNotebookBook } from './notebook-book.ts'
import { Problems, Rows } from './preview-tables.tsx'
import { StyleForm } from './style-form.tsx'
import { TakeForm } from './take-form.tsx'

/** Chosen again, the same file is read again: a browser tells nothing of that by itself. */
function FileField({ onFile }: { onFile: (file: File | undefined) => void }) {
  return (
    <div class="field">
      <label for="notebook-file">{say.file}</label>
      <input
        id="notebook-file"
        type="file"
        accept=".csv,.txt,text/csv,text/plain"
        onClick={(event) => {
          event.currentTarget.value = ''
        }}
        onChange={(event) => onFile(event.currentTarget.files?.[0])}
      />
    </div>
  )
}

function Notebook({ setups, setupId }: { setups: readonly StoredSetup[]; setupId: number }) {
  const notebook = useMemo(() => makeNotebookBook(api.previewNotebook, sentenceOf, setupId), [])
  const { form, header, preview, taken, problem, encoding, isLooking } = notebook.book.value
  const done = (now: NotebookTaken) => {
    notebook.done(now)
    focusSoon(STATUS_LINE)
  }
  return (
    <>
      <FileField onFile={(file) => void notebook.choose(file)} />
      <p class="form-refused" role="alert">
        {problem}
      </p>
      <p role="status">
        {isLooking && say.looking}
        {taken && say.taken(taken.bends, taken.first, taken.last)}
      </p>
      {form && (
        <form
          class="notebook-how"
          onSubmit={(event) => {
            event.preventDefault()
            void notebook.look()
          }}
        >
          <StyleForm form={form} setups={setups} onChange={(next) => void notebook.restyle(next)} />
          {header.length > 0 && (
            <ColumnsForm form={form} header={header} onChange={notebook.remap} />
          )}
          <button type="submit" class="plain">
            {say.look}
          </button>
        </form>
      )}
      {form && preview && <HowRead form={form} encoding={encoding} />}
      {preview && preview.problemCount > 0 && <Problems {...preview} />}
      {preview && preview.rows.length > 0 && <Rows {...preview} />}
      {preview && preview.problemCount === 0 && preview.lines === 0 && (
        <p class="form-refused" role="alert">
          {say.noLines}
        </p>
      )}
      {form && preview && preview.problemCount === 0 && preview.lines > 0 && (
        <TakeForm form={form} lines={preview.lines} onTaken={done} />
      )}
    </>
  )
}

/** Takes over a shop's old notebook: chosen, looked over, then all of it or nothing. */
export function NotebookPage() {
  const { value, problem } = useAnswer('set-ups', () => api.setups())
  const [first] = value ?? []
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
      {value && first && <Notebook setups={value} setupId={first.id} />}
    </main>
  )
}
