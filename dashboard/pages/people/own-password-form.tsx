import { api } from '../../live/api.ts'
import { words } from '../../words/en.ts'
import { EntryForm } from './entry-form.tsx'
import { knownPassword, newPassword } from './password-fields.ts'

const { people: say } = words

/** Whoever is signed in takes another password, and signs in again with it. */
export const OwnPasswordForm = ({ onDone }: { onDone: () => void }) => (
  <EntryForm
    id="own"
    act={say.ownPassword}
    first={{ old: '', password: '' }}
    fields={() => [
      knownPassword('old', say.oldPassword),
      newPassword(say.newPassword, say.ownHelp),
    ]}
    send={(texts) => api.ownPassword(texts).then(onDone)}
  />
)
