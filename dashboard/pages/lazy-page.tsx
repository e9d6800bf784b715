import type { FunctionComponent } from 'preact'
import { useEffect, useState } from 'preact/hooks'
import { sentenceOf } from '../live/api.ts'
import { words } from '../words/en.ts'

/** A page that is fetched when it is first opened, with all that it alone needs: no other page waits for it. */
export function lazyPage<P extends object>(
  load: () => Promise<FunctionComponent<P>>,
): FunctionComponent<P> {
  let known: FunctionComponent<P> | null = null
  return function Lazy(props: P) {
    const [Page, setPage] = useState(() => known)
    const [problem, setProblem] = useState<string | null>(null)
    useEffect(() => {
      if (known !== null) return
      let isWanted = true
      load().then(
        (page) => {
          known = page
          if (isWanted) setPage(() => page)
        },
        (error: unknown) => isWanted && setProblem(sentenceOf(error)),
      )
      return () => {
        isWanted = false
      }
    }, [])
    if (Page !== null) return <Page {...props} />
    return (
      <main class="desk">
        <p role={problem === null ? 'status' : 'alert'}>{problem ?? words.pages.loading}</p>
      </main>
    )
  }
}
