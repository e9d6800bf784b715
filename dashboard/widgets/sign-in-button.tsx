import { signInFrom } from '../live/session.ts'
import { words } from '../words/en.ts'

/** Leads to signing in without leaving the page: what was typed in it stays. */
export const SignInButton = () => (
  <button
    type="button"
    class="plain"
    aria-haspopup="dialog"
    onClick={(event) => {
      signInFrom.value = event.currentTarget
    }}
  >
    {words.people.signIn}
  </button>
)
