/** So long a page has to come to the height that it had, by a slow wire too; a hand that moves it ends that at once. */
const GIVE_UP_MS = 10_000
/** What comes in above meanwhile, a summary say, would move it again. Frames, which come slowly where all does. */
const GROWS_FRAMES = 40
/** After the last move: browsers take a few writes a second and no more. */
const STILL_MS = 150

interface Place {
  /** Pixels from the top. */
  readonly y: number
}

const placeHere = () => (history.state as Partial<Place> | null)?.y ?? null
const keep = () => history.replaceState({ y: scrollY } satisfies Place, '')

const pageHeight = () => document.documentElement.scrollHeight

/** Scrolls there as soon as the page is long enough, unless somebody scrolls before. */
function scrollBack(y: number, done: () => void): void {
  const over = new AbortController()
  const { signal } = over
  signal.addEventListener('abort', done)
  for (const name of ['wheel', 'touchstart', 'pointerdown', 'keydown', 'hashchange'] as const)
    addEventListener(name, () => over.abort(), { signal })
  setTimeout(() => over.abort(), GIVE_UP_MS)
  let framesLeft = GROWS_FRAMES
  let before = { y: scrollY, height: pageHeight() }
  function attempt(): void {
    // Nothing tells of a hand at the scroll bar but a page that moves and does not grow.
    if (scrollY !== before.y && pageHeight() === before.height) over.abort()
    if (signal.aborted) return
    scrollTo(0, y)
    before = { y: scrollY, height: pageHeight() }
    if (Math.abs(scrollY - y) < 1) framesLeft -= 1
    if (framesLeft > 0) requestAnimationFrame(attempt)
    else over.abort()
  }
  attempt()
}

/**
 * Makes the function that is told of each new place: one that somebody goes back to is shown where it was left, and
 * another page begins at its top. The browser itself would scroll before what is on the page was fetched.
 */
export function makeScrollPlace(): (isOtherPage: boolean) => void {
  let isGoingBack = false
  let timer = 0
  history.scrollRestoration = 'manual'
  addEventListener(
    'scroll',
    () => {
      clearTimeout(timer)
      timer = setTimeout(() => {
        if (!isGoingBack) keep()
      }, STILL_MS)
    },
    { passive: true },
  )
  return function moved(isOtherPage) {
    const y = placeHere()
    if (y !== null) {
      isGoingBack = true
      scrollBack(y, () => {
        isGoingBack = false
      })
      return
    }
    if (isOtherPage) scrollTo(0, 0)
    keep()
  }
}
