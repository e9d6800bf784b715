import { useState } from 'preact/hooks'
import type { HistoryVerified } from '../../../server/messages/verified.ts'
import { api, sentenceOf } from '../../live/api.ts'
import { checkWords as say } from '../../words/en-check.ts'

/** Has the whole history walked, and says what was found. */
export function CheckRecord() {
  const [isBusy, setIsBusy] = useState(false)
  const [found, setFound] = useState<HistoryVerified | null>(null)
  const [problem, setProblem] = useState<string | null>(null)
  const check = async () => {
    setIsBusy(true)
    setFound(null)
    setProblem(null)
    await api.verify().then(setFound, (error: unknown) => setProblem(sentenceOf(error)))
    setIsBusy(false)
  }
  const isBroken = found !== null && !found.intact
  return (
    <section class="check-record">
      <button type="button" class="plain" aria-disabled={isBusy} onClick={() => isBusy || check()}>
        {say.check}
      </button>
      <p role="status">
        {isBusy && say.checking}
        {found?.intact && say.found(found)}
      </p>
      {found?.intact && found.records > 0 && (
        <p>
          {say.headLabel}: <code>{found.head}</code>
        </p>
      )}
      <p class="form-refused" role="alert">
        {isBroken && say.found(found)}
        {problem}
      </p>
    </section>
  )
}
