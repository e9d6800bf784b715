import { api } from '../../live/api.ts'
import { words } from '../../words/en.ts'
import { EntryForm } from './entry-form.tsx'

const { people: say } = words

/** Whoever is signed in takes another password, and signs in again with it. */
export const OwnPasswordForm = ({ onDone }: { onDone: () => void }) => (
  <EntryForm
    id="own"
    act={say.ownPassword}
    first={{ old: '', password: '' }}
    fields={() => [
      { field: 'old', label: say.oldPassword, kind: 'secret' },
      { field: 'password', label: say.newPassword, kind: 'secret', help: say.ownHelp },
    ]}
    send={(texts) => api.ownPassword(texts).then(onDone)}
  />
)
