import type { EntryField } from './entry-form.tsx'

/** A password that somebody has, asked for. */
export const knownPassword = <Field extends string>(
  field: Field,
  label: string,
): EntryField<Field> => ({ field, label, kind: 'known-secret' })

/** A password that is set here: it can be looked at, since a slip of the finger would lock somebody out. */
export const newPassword = (label: string, help: string): EntryField<'password'> => ({
  ...{ field: 'password', label, kind: 'new-secret', help },
})
