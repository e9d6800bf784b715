import { useState } from 'preact/hooks'
import { api, sentenceOf } from '../../live/api.ts'
import { TextField } from '../../widgets/field.tsx'
import { words } from '../../words/en.ts'

/** Asks for the code that the daemon printed: whoever can read it stands in the shop. */
export function PairPage() {
  const [code, setCode] = useState('')
  const [problem, setProblem] = useState<string | undefined>(undefined)
  return (
    <main class="desk">
      <h1>{words.pair.title}</h1>
      <p class="desk-intro">{words.pair.intro}</p>
      <form
        class="filter"
        onSubmit={(event) => {
          event.preventDefault()
          api.pair(code.trim()).catch((error: unknown) => setProblem(sentenceOf(error)))
        }}
      >
        <TextField
          id="pair-code"
          label={words.pair.code}
          value={code}
          problem={problem}
          numeric
          onText={setCode}
        />
        <button type="submit" class="plain">
          {words.pair.pair}
        </button>
      </form>
    </main>
  )
}
