import type { ComponentChildren, FunctionComponent } from 'preact'
import { useEffect, useState } from 'preact/hooks'
import { words } from '../words/en.ts'

type Frame = FunctionComponent<{ children: ComponentChildren }>

function lazy<P extends object>(
  load: () => Promise<FunctionComponent<P>>,
  Around: Frame,
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
      <Around>
        <p class="desk-intro" role={isLost ? 'alert' : 'status'}>
          {isLost ? words.pages.notLoaded : words.pages.loading}
        </p>
        {isLost && (
          <button type="button" class="plain" onClick={() => location.reload()}>
            {words.pages.loadAgain}
          </button>
        )}
      </Around>
    )
  }
}

/** A page that is fetched when it is first opened, with all that it alone needs: no other page waits for it. */
export const lazyPage = <P extends object>(load: () => Promise<FunctionComponent<P>>) =>
  lazy(load, ({ children }) => <main class="desk">{children}</main>)

/** The same of a part of a page. */
export const lazyPart = <P extends object>(load: () => Promise<FunctionComponent<P>>) =>
  lazy(load, ({ children }) => <div>{children}</div>)
