import type { ComponentChildren } from 'preact'
import { words } from '../../words/en.ts'
import { EntryForm } from './entry-form.tsx'
import { knownPassword, newPassword } from './password-fields.ts'

const { people: say } = words

/** A name and a password: to sign in, or, with what a new password must be like, for the first administrator. */
export const CredentialsForm = ({
  newHelp,
  ...props
}: {
  id: string
  act: string
  newHelp?: string
  beside?: ComponentChildren
  send: (texts: Record<'name' | 'password', string>) => Promise<unknown>
}) => (
  <EntryForm
    {...props}
    first={{ name: '', password: '' }}
    fields={() => [
      { field: 'name', label: say.name, isOwnName: true },
      newHelp === undefined
        ? knownPassword('password', say.password)
        : newPassword(say.password, newHelp),
    ]}
  />
)
