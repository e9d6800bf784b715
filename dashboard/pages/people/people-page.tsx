import { useState } from 'preact/hooks'
import type { Here } from '../../../server/messages/people.ts'
import { api, sentenceOf } from '../../live/api.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { words } from '../../words/en.ts'
import { AddForm } from './add-form.tsx'
import { ChangeForm } from './change-form.tsx'
import { CredentialsForm } from './credentials-form.tsx'
import { ExportsList } from './exports-list.tsx'
import { OwnPasswordForm } from './own-password-form.tsx'

const { people: say } = words

function Enrolled(props: { turn: number; mayChange: boolean; onDone: () => void }) {
  const { turn, mayChange, onDone } = props
  const { value, problem } = useAnswer(`people ${turn}`, api.people)
  if (problem) return <p class="form-refused">{problem}</p>
  return (
    <>
      <h2>{say.enrolled}</h2>
      <div class="table-scroll">
        <table>
          <thead>
            <tr>
              <th scope="col">{say.name}</th>
              <th scope="col">{say.role}</th>
              <th scope="col">{say.state}</th>
            </tr>
          </thead>
          <tbody>
            {value?.people.map(({ name, role, isActive }) => (
              <tr key={name}>
                <td>
                  <bdi>{name}</bdi>
                </td>
                <td>{say.roles[role]}</td>
                <td>{isActive ? say.active : say.retired}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {mayChange && value && (
        <>
          <h2>{say.changePerson}</h2>
          <ChangeForm people={value.people} onDone={onDone} />
        </>
      )}
    </>
  )
}

function Nobody({ here, onDone }: { here: Here; onDone: () => void }) {
  if (!here.isOpenShop)
    return (
      <CredentialsForm id="sign-in" act={say.signIn} send={(who) => api.signIn(who).then(onDone)} />
    )
  if (!here.mayBeFirst) return <p>{say.firstElsewhere}</p>
  return (
    <>
      <h2>{say.first}</h2>
      <p>{say.firstHelp}</p>
      <CredentialsForm
        id="first"
        act={say.first}
        help={say.passwordHelp}
        send={(who) => api.firstPerson(who).then(onDone)}
      />
    </>
  )
}

/** Who is enrolled, and who is signed in at this page. */
export function PeoplePage() {
  const [turn, setTurn] = useState(0)
  const [refusal, setRefusal] = useState<string | null>(null)
  const again = () => setTurn((before) => before + 1)
  const { value: here, problem } = useAnswer(`session ${turn}`, api.session)
  const person = here?.person ?? null
  const signOut = () => api.signOut().then(again, (error: unknown) => setRefusal(sentenceOf(error)))
  return (
    <main class="desk">
      <h1>{say.title}</h1>
      <p class="form-refused" role="alert">
        {problem ?? refusal}
      </p>
      {here?.isOpenShop && <p class="desk-intro">{say.openShop}</p>}
      {here && person === null && <Nobody here={here} onDone={again} />}
      {person && (
        <>
          <p class="desk-intro">{say.signedIn(person.name, say.roles[person.role])}</p>
          <button type="button" class="plain" onClick={signOut}>
            {say.signOut}
          </button>
          <Enrolled turn={turn} mayChange={person.role === 'administrator'} onDone={again} />
        </>
      )}
      {person?.role === 'administrator' && (
        <>
          <h2>{say.add}</h2>
          <AddForm onDone={again} />
        </>
      )}
      {person && (
        <>
          <h2>{say.ownPassword}</h2>
          <OwnPasswordForm onDone={again} />
        </>
      )}
      {here && (here.isOpenShop || person) && <ExportsList />}
    </main>
  )
}
