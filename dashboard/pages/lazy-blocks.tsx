import type { FunctionComponent } from 'preact'
import { useEffect, useState } from 'preact/hooks'
import { sentenceOf } from '../live/api.ts'
import { words } from '../words/en.ts'

/** The block reference, fetched with its texts and style when it is first opened: no other page waits for it. */
export function LazyBlocks() {
  const [Page, setPage] = useState<FunctionComponent | null>(null)
  const [problem, setProblem] = useState<string | null>(null)
  useEffect(() => {
    let isWanted = true
    import('./blocks/blocks-page.tsx').then(
      ({ BlocksPage }) => isWanted && setPage(() => BlocksPage),
      (error: unknown) => isWanted && setProblem(sentenceOf(error)),
    )
    return () => {
      isWanted = false
    }
  }, [])
  if (Page !== null) return <Page />
  return (
    <main class="desk">
      <p role={problem === null ? 'status' : 'alert'}>{problem ?? words.chain.blocksLoading}</p>
    </main>
  )
}
