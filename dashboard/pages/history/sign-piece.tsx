import { useState } from 'preact/hooks'
import type { PieceAsk } from '../../../server/messages/piece.ts'
import { focusSoon } from '../../live/focus-soon.ts'
import { useSession } from '../../live/use-session.ts'
import { whoActs } from '../../live/who.ts'
import { SignInButton } from '../../widgets/sign-in-button.tsx'
import { words } from '../../words/en.ts'
import { pieceWords as say } from '../../words/en-piece.ts'
import { lazyPart } from '../lazy-page.tsx'
import type { SignParts } from './sign-form.tsx'

const OPENER = 'sign-piece'

/** Few sign, and the list is to be there at once. */
const SignForm = lazyPart<SignParts>(() => import('./sign-form.tsx').then((part) => part.SignForm))

/** Of the piece that is listed: every bend of it signed at once. */
export function SignPiece({ place, onDone }: { place: PieceAsk; onDone: () => void }) {
  const [isOpen, setIsOpen] = useState(false)
  const [said, setSaid] = useState<string | null>(null)
  const { value: here } = useSession()
  const who = whoActs({ value: here, problem: null })
  const done = (text: string | null) => {
    setSaid(text)
    setIsOpen(false)
    focusSoon(`#${OPENER}`)
    onDone()
  }
  if (here === null) return null
  return (
    <section class="sign-piece">
      <button
        id={OPENER}
        type="button"
        class="plain"
        aria-expanded={isOpen}
        onClick={() => {
          setSaid(null)
          setIsOpen(!isOpen)
        }}
      >
        {say.sign}
      </button>
      {isOpen && <h2>{say.title(place.part, place.piece)}</h2>}
      {isOpen && here.isOpenShop && <p class="field-help">{words.people.openShop}</p>}
      {isOpen && who.is === 'nobody' && (
        <p class="act-doings">
          <SignInButton />
        </p>
      )}
      {isOpen && who.is !== 'nobody' && (
        <SignForm bendId={null} {...{ place, here, who }} onDone={done} />
      )}
      <p role="status">{said}</p>
    </section>
  )
}
