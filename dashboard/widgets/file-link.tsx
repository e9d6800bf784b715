import { useState } from 'preact/hooks'
import { api } from '../live/api.ts'
import { attempt } from '../live/doing.ts'

/** The frame that files come by. */
const FRAME = 'files'

let asked: string | null = null

/** A file to take along: it is asked for in a frame, so that the page stays, whatever the daemon says to it. */
export const FileLink = ({ name, address }: { name: string; address: string }) => (
  <a
    class="plain"
    href={address}
    target={FRAME}
    onClick={() => {
      asked = address
    }}
  >
    {name}
  </a>
)

/** Where the files of all pages come by, unseen. A file that comes loads nothing in it: what does is a refusal. */
export function FileFrame() {
  const [turn, setTurn] = useState(0)
  function refused() {
    if (asked === null) return
    attempt(api.refusalOf(asked))
    asked = null
    // A new frame, so that going back leads to no refusal.
    setTurn(turn + 1)
  }
  return <iframe key={turn} name={FRAME} title={FRAME} hidden onLoad={refused} />
}
