import { signal } from '@preact/signals'
import { useEffect, useState } from 'preact/hooks'
import { api, sentenceOf } from '../live/api.ts'

/** The frame that files come by. */
const FRAME = 'files'

let asked: string | null = null

/** Why the last file that was asked for did not come. */
const refusal = signal<string | null>(null)

/** A file to take along: it is asked for in a frame, so that the page stays, whatever the daemon says to it. */
export const FileLink = ({ name, address }: { name: string; address: string }) => (
  <a
    class="plain"
    href={address}
    target={FRAME}
    onClick={() => {
      asked = address
      refusal.value = null
    }}
  >
    {name}
  </a>
)

/** Says beside the links why a file did not come. */
export function FileRefusal() {
  useEffect(() => {
    refusal.value = null
  }, [])
  return (
    <p class="form-refused" role="alert">
      {refusal.value}
    </p>
  )
}

/** Where the files of all pages come by, unseen. A file that comes loads nothing in it: what does is a refusal. */
export function FileFrame() {
  const [turn, setTurn] = useState(0)
  function refused() {
    if (asked === null) return
    api.refusalOf(asked).catch((error: unknown) => {
      refusal.value = sentenceOf(error)
    })
    asked = null
    // A new frame, so that going back leads to no refusal.
    setTurn(turn + 1)
  }
  return <iframe key={turn} name={FRAME} title={FRAME} hidden onLoad={refused} />
}
