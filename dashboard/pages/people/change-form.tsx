import {
  type ChangePersonAsk,
  type Person,
  ROLES,
  type Role,
} from '../../../server/messages/people.ts'
import { api } from '../../live/api.ts'
import { words } from '../../words/en.ts'
import { type EntryField, EntryForm } from './entry-form.tsx'
import { newPassword } from './password-fields.ts'

const { people: say } = words

type Field = 'name' | 'change' | 'role' | 'password' | 'reason'
type Change = ChangePersonAsk['change']

const FIRST: Record<Field, string> = {
  ...{ name: '', change: 'role', role: 'operator', password: '', reason: '' },
}

const ROLE: EntryField<Field> = {
  ...{ field: 'role', label: say.role },
  choices: ROLES.map((key) => ({ key, name: say.roles[key] })),
}
const PASSWORD = newPassword(say.newPassword, say.givenHelp)

const changesOf = (person: Person | undefined): readonly Change[] =>
  person?.isActive === false ? ['returned'] : ['role', 'password', 'retired']

/** An administrator changes what another may do, or whether they may. The daemon enters each in the log of people. */
export function ChangeForm(props: { people: readonly Person[]; onDone: (name: string) => void }) {
  const { people, onDone } = props
  /** Of a retired person nothing can be changed but that. */
  const changeOf = ({ name, change }: Record<Field, string>): Change => {
    const changes = changesOf(people.find((one) => one.name === name))
    return changes.find((one) => one === change) ?? changes[0] ?? 'role'
  }

  function fieldsOf(texts: Record<Field, string>): readonly EntryField<Field>[] {
    const change = changeOf(texts)
    const changes = changesOf(people.find(({ name }) => name === texts.name))
    const names = people.map(({ name }) => ({ key: name, name }))
    return [
      {
        ...{ field: 'name', label: say.whom },
        choices: [{ key: '', name: say.choose }, ...names],
      },
      {
        ...{ field: 'change', label: say.change, help: say.changeHelp[change] },
        choices: changes.map((key) => ({ key, name: say.changes[key] })),
      },
      ...(change === 'role' ? [ROLE] : []),
      ...(change === 'password' ? [PASSWORD] : []),
      { field: 'reason', label: say.reason, lengthMax: 500 },
    ]
  }

  async function send(texts: Record<Field, string>): Promise<void> {
    const { name, role, password, reason } = texts
    const change = changeOf(texts)
    await api.changePerson({
      ...{ who: name, name, change, reason },
      ...(change === 'role' && { role: role as Role }),
      ...(change === 'password' && { password }),
    })
    onDone(name)
  }

  return (
    <EntryForm id="change" act={say.changePerson} first={FIRST} fields={fieldsOf} send={send} />
  )
}
