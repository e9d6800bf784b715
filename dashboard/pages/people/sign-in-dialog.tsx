import { useEffect, useRef } from 'preact/hooks'
import { api } from '../../live/api.ts'
import { sessionChanged, signInFrom } from '../../live/session.ts'
import { words } from '../../words/en.ts'
import { CredentialsForm } from './credentials-form.tsx'

const { people: say } = words

/** Signing in over whatever page is open. */
export function SignInDialog() {
  const box = useRef<HTMLDialogElement>(null)
  useEffect(() => box.current?.showModal(), [])
  const close = () => {
    signInFrom.value = null
  }
  function done() {
    // The button that was pressed goes with the need for it: on with the form that it stood in.
    const form = signInFrom.value?.closest('form')
    sessionChanged()
    box.current?.close()
    form?.querySelector<HTMLElement>('button[type=submit]')?.focus()
  }
  return (
    <dialog class="sign-in" ref={box} aria-label={say.signIn} onClose={close}>
      <h2>{say.signIn}</h2>
      <CredentialsForm
        id="sign-in-here"
        act={say.signIn}
        send={(who) => api.signIn(who).then(done)}
        beside={
          <button type="button" class="plain" onClick={() => box.current?.close()}>
            {say.notNow}
          </button>
        }
      />
    </dialog>
  )
}
