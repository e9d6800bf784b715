import { words } from '../../words/en.ts'
import { EntryForm } from './entry-form.tsx'

const { people: say } = words

/** A name and a password: to sign in, or for the first administrator. */
export const CredentialsForm = (props: {
  id: string
  act: string
  help?: string
  send: (texts: Record<'name' | 'password', string>) => Promise<unknown>
}) => (
  <EntryForm
    {...props}
    first={{ name: '', password: '' }}
    fields={() => [
      { field: 'name', label: say.name },
      { field: 'password', label: say.password, kind: 'secret', help: props.help },
    ]}
  />
)
