import { ROLES, type Role } from '../../../server/messages/people.ts'
import { api } from '../../live/api.ts'
import { words } from '../../words/en.ts'
import { EntryForm } from './entry-form.tsx'
import { newPassword } from './password-fields.ts'

const { people: say } = words

/** An administrator enrols a person. */
export const AddForm = ({ onDone }: { onDone: (name: string) => void }) => (
  <EntryForm
    id="person"
    act={say.add}
    first={{ name: '', role: 'operator', password: '', reason: '' }}
    fields={() => [
      { field: 'name', label: say.name },
      {
        ...{ field: 'role', label: say.role },
        choices: ROLES.map((key) => ({ key, name: say.roles[key] })),
      },
      newPassword(say.password, say.passwordHelp),
      { field: 'reason', label: say.reason, lengthMax: 500 },
    ]}
    send={async ({ role, ...texts }) => {
      await api.addPerson({ who: texts.name, ...texts, role: role as Role })
      onDone(texts.name.trim())
    }}
  />
)
