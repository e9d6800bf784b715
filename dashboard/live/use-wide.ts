import { useEffect, useState } from 'preact/hooks'

/** Wide enough for a form beside a list; history.css has the same line. */
const WIDE = '(min-width: 761px) and (orientation: landscape)'

/** True on a screen that is wide now; a tablet may be turned. */
export function useWide(): boolean {
  const [isWide, setIsWide] = useState(() => matchMedia(WIDE).matches)
  useEffect(() => {
    const wide = matchMedia(WIDE)
    const follow = () => setIsWide(wide.matches)
    wide.addEventListener('change', follow)
    return () => wide.removeEventListener('change', follow)
  }, [])
  return isWide
}
