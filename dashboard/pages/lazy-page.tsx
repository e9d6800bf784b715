import type { FunctionComponent } from 'preact'
import { useEffect, useState } from 'preact/hooks'
import { words } from '../words/en.ts'

/** A page that is fetched when it is first opened, with all that it alone needs: no other page waits for it. */
export function lazyPage<P extends object>(
  load: () => Promise<FunctionComponent<P>>,
): FunctionComponent<P> {
  let known: FunctionComponent<P> | null = null
  return function Lazy(props: P) {
    const [Page, setPage] = useState(() => known)
    const [isLost, setIsLost] = useState(false)
    useEffect(() => {
      if (known !== null) return
      let isWanted = true
      load().then(
        (page) => {
          known = page
          if (isWanted) setPage(() => page)
        },
        () => isWanted && setIsLost(true),
      )
      return () => {
        isWanted = false
      }
    }, [])
    if (Page !== null) return <Page {...props} />
    return (
      <main class="desk">
        <p class="desk-intro" role={isLost ? 'alert' : 'status'}>
          {isLost ? words.pages.notLoaded : words.pages.loading}
        </p>
        {isLost && (
          <button type="button" class="plain" onClick={() => location.reload()}>
            {words.pages.loadAgain}
          </button>
        )}
      </main>
    )
  }
}
