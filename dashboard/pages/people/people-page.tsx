import { useState } from 'preact/hooks'
import type { Here, Person } from '../../../server/messages/people.ts'
import { api, sentenceOf } from '../../live/api.ts'
import { focusSoon, STATUS_LINE } from '../../live/focus-soon.ts'
import { sessionChanged } from '../../live/session.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { useSession } from '../../live/use-session.ts'
import { TableHead } from '../../widgets/table-head.tsx'
import { words } from '../../words/en.ts'
import { AddForm } from './add-form.tsx'
import { ChangeForm } from './change-form.tsx'
import { ChangesList } from './changes-list.tsx'
import { CredentialsForm } from './credentials-form.tsx'
import { ExportsList } from './exports-list.tsx'
import { OwnPasswordForm } from './own-password-form.tsx'

const { people: say } = words

function Enrolled({ people }: { people: readonly Person[] }) {
  return (
    <>
      <h2>{say.enrolled}</h2>
      <div class="table-scroll">
        <table class="bends" aria-label={say.enrolled}>
          <TableHead heads={[say.name, say.role, say.state]} />
          <tbody>
            {people.map(({ name, role, isActive }) => (
              <tr key={name}>
                <td class="named">
                  <bdi>{name}</bdi>
                </td>
                <td>{say.roles[role]}</td>
                <td>{isActive ? say.active : say.retired}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  )
}

/** What somebody signed in sees of all who are enrolled, and what an administrator changes. */
function Everybody(props: {
  turn: number
  isAdministrator: boolean
  onChanged: (sentence: string) => void
  onOwnChanged: () => void
}) {
  const { turn, isAdministrator, onChanged, onOwnChanged } = props
  const { value, problem } = useAnswer(`people ${turn}`, api.people)
  return (
    <>
      {problem && <p class="form-refused">{problem}</p>}
      {value && <Enrolled people={value.people} />}
      {isAdministrator && value && (
        <>
          <h2>{say.changePerson}</h2>
          <ChangeForm people={value.people} onDone={(name) => onChanged(say.changed(name))} />
        </>
      )}
      {isAdministrator && (
        <>
          <h2>{say.add}</h2>
          <AddForm onDone={(name) => onChanged(say.added(name))} />
        </>
      )}
      <h2>{say.ownPassword}</h2>
      <OwnPasswordForm onDone={onOwnChanged} />
      {value && <ChangesList changes={value.changes} />}
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
        newHelp={say.passwordHelp}
        send={(who) => api.firstPerson(who).then(onDone)}
      />
    </>
  )
}

/** Who is enrolled, and who is signed in at this page. */
export function PeoplePage() {
  const [turn, setTurn] = useState(0)
  const [said, setSaid] = useState('')
  const [refusal, setRefusal] = useState<string | null>(null)
  const { value: here, problem } = useSession()
  const person = here?.person ?? null
  /** Of others; who is here stays, and so does the keyboard's focus. */
  const changed = (sentence: string) => {
    setSaid(sentence)
    setTurn((before) => before + 1)
    sessionChanged()
  }
  /** The form that was sent, or the button that was pressed, goes. */
  const isAnother = (sentence = '') => {
    setRefusal(null)
    changed(sentence)
    focusSoon(STATUS_LINE)
  }
  const signOut = () =>
    api.signOut().then(
      () => isAnother(),
      (error: unknown) => setRefusal(sentenceOf(error)),
    )
  const isHere = person !== null && say.signedIn(person.name, say.roles[person.role])
  return (
    <main class="desk">
      <h1>{say.title}</h1>
      <p class="form-refused" role="alert">
        {problem ?? refusal}
      </p>
      <p class="desk-intro" role="status">
        {[isHere, here?.isOpenShop && say.openShop, said].filter(Boolean).join(' ')}
      </p>
      {here && person === null && <Nobody here={here} onDone={() => isAnother()} />}
      {person && (
        <>
          <button type="button" class="plain" onClick={signOut}>
            {say.signOut}
          </button>
          <Everybody
            turn={turn}
            isAdministrator={person.role === 'administrator'}
            onChanged={changed}
            onOwnChanged={() => isAnother(say.ownChanged)}
          />
        </>
      )}
      {here && (here.isOpenShop || person) && <ExportsList />}
    </main>
  )
}
