import type { Who } from '../live/who.ts'
import { words } from '../words/en.ts'
import { TextField } from './field.tsx'
import { SignInButton } from './sign-in-button.tsx'

const { people: say } = words

/** Who acts: asked for in an open shop; of whoever is signed in it is said, since the daemon takes no other name. */
export function WhoField(props: {
  who: Who
  id: string
  value: string
  label?: string
  help?: string
  problem?: string | undefined
  onText: (text: string) => void
}) {
  const { who, label = words.trail.asks.who, ...field } = props
  if (who.is === 'typed') return <TextField {...field} label={label} />
  if (who.is === 'signed-in')
    return (
      <p class="who-acts">
        {say.actsAs} <bdi>{who.name}</bdi>.
      </p>
    )
  if (who.is === 'asked') return null
  return (
    <p class="who-acts">
      {say.signInFirst} <SignInButton />
    </p>
  )
}
