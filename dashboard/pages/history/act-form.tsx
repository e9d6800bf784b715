import { useState } from 'preact/hooks'
import { AMENDABLE, type Amendable } from '../../../server/messages/act-kinds/amendment.ts'
import type { Act } from '../../../server/messages/acts.ts'
import { standingText, voidedBy } from '../../../server/messages/bend-standing.ts'
import type { Bend } from '../../../server/messages/bends.ts'
import type { Here } from '../../../server/messages/people.ts'
import { api } from '../../live/api.ts'
import { useForm } from '../../live/use-form.ts'
import { lacksName, nameOf, type Who, whoActs } from '../../live/who.ts'
import { ChoiceField, LongField, SecretField, TextField } from '../../widgets/field.tsx'
import { SignInButton } from '../../widgets/sign-in-button.tsx'
import { SubmitButton } from '../../widgets/submit-button.tsx'
import { WhoField } from '../../widgets/who-field.tsx'
import { words } from '../../words/en.ts'
import { InspectionForm } from './inspection-form.tsx'
import { PhotoForm } from './photo-form.tsx'

const { trail: say } = words

const OF_WORDS = ['amendments', 'void', 'reinstatement', 'signatures', 'notes'] as const
type OfWords = (typeof OF_WORDS)[number]
const DOINGS = [...OF_WORDS, 'inspections', 'photos'] as const
type Doing = (typeof DOINGS)[number]
const FIELDS = ['who', 'field', 'to', 'reason', 'role', 'meaning', 'text', 'password'] as const
type Field = (typeof FIELDS)[number]
type Texts = Record<Field, string>

/** What each act asks for besides who and, where one is signed in, the password. */
const ASKED: Readonly<Record<OfWords, readonly Field[]>> = {
  amendments: ['field', 'to', 'reason'],
  void: ['reason'],
  reinstatement: ['reason'],
  signatures: ['role', 'meaning'],
  notes: ['text'],
}
const MAY_BE_EMPTY: readonly Field[] = ['to']
const idOf = (field: Field) => `act-${field}`

interface Parts {
  readonly bend: Bend
  readonly acts: readonly Act[]
  readonly here: Here
  readonly who: Who
  readonly doing: OfWords
  readonly onDone: () => void
}

function asksOf({ doing, here }: Parts): Field[] {
  const password: Field[] = here.person !== null && doing === 'signatures' ? ['password'] : []
  return [...ASKED[doing], ...password]
}

function bodyOf(parts: Parts, texts: Texts): object {
  const said = Object.fromEntries(asksOf(parts).map((field) => [field, texts[field]]))
  const asked = { ...said, who: nameOf(parts.who, texts.who) }
  if (parts.doing !== 'amendments') return asked
  const from = standingText(parts.bend, parts.acts, texts.field as Amendable)
  return { ...asked, from, to: texts.to === '' ? null : texts.to }
}

function OneField(props: {
  field: Field
  texts: Texts
  problem?: string | undefined
  onText: (text: string) => void
}) {
  const { field, texts, problem, onText } = props
  const bound = { id: idOf(field), label: say.asks[field], value: texts[field], problem, onText }
  if (field === 'field')
    return (
      <ChoiceField {...bound} choices={AMENDABLE.map((key) => ({ key, name: say.fields[key] }))} />
    )
  if (field === 'role')
    return (
      <ChoiceField
        {...bound}
        choices={(['signed', 'counter-signed'] as const).map((key) => ({
          key,
          name: say.roles[key],
        }))}
      />
    )
  if (field === 'text' || (field === 'to' && texts.field === 'note'))
    return <LongField {...bound} />
  if (field === 'password') return <SecretField {...bound} />
  return <TextField {...bound} lengthMax={500} />
}

function DoingForm(parts: Parts) {
  const { bend, doing, who, onDone } = parts
  const asked = asksOf(parts)
  const first: Texts = {
    ...{ who: '', field: 'operator', to: '', reason: '', role: 'signed' },
    ...{ meaning: say.meaning, text: '', password: '' },
  }
  const form = useForm<Field>(() => first, {
    idOf,
    who,
    problemsOf: (texts) => ({
      ...Object.fromEntries(
        asked
          .filter((field) => texts[field].trim() === '' && !MAY_BE_EMPTY.includes(field))
          .map((field) => [field, say.required]),
      ),
      ...(lacksName(who, texts.who) && { who: say.required }),
    }),
    fieldOf: (path) => FIELDS.find((field) => field === path) ?? null,
    async send(texts) {
      await api.addAct(bend.id, doing, bodyOf(parts, texts))
      onDone()
      return null
    },
  })
  const now = standingText(bend, parts.acts, form.texts.field as Amendable)
  return (
    <form class="act-form" aria-label={say.doings[doing]} onSubmit={form.onSubmit}>
      {doing === 'amendments' && (
        <p class="own-words" dir="auto">
          {say.now(now ?? say.nothing)}
        </p>
      )}
      {asked.map((field) => (
        <OneField
          key={field}
          field={field}
          texts={form.texts}
          problem={form.problems[field]}
          onText={(text) => form.change(field, text)}
        />
      ))}
      <WhoField
        {...{ who, id: idOf('who'), value: form.texts.who }}
        problem={form.problems.who}
        onText={(text) => form.change('who', text)}
      />
      <SubmitButton name={say.doings[doing]} isBusy={form.isBusy} />
      <p class="form-refused" role="alert">
        {form.refusal}
      </p>
    </form>
  )
}

function FormOf({ doing, ...props }: Omit<Parts, 'doing'> & { doing: Doing }) {
  const own = { bendId: props.bend.id, who: props.who, onDone: props.onDone }
  if (doing === 'inspections') return <InspectionForm {...own} />
  if (doing === 'photos') return <PhotoForm {...own} />
  return <DoingForm {...props} doing={doing} />
}

/** What a person can do about a recorded bend; the record itself stays. */
export function ActForm(props: Omit<Parts, 'doing' | 'who'>) {
  const [doing, setDoing] = useState<Doing | null>(null)
  const isVoid = voidedBy(props.acts) !== null
  const may = DOINGS.filter((one) => one !== (isVoid ? 'void' : 'reinstatement'))
  const { isOpenShop } = props.here
  const who = whoActs({ value: props.here, problem: null })
  const done = () => {
    setDoing(null)
    props.onDone()
  }
  // What is half written stays while somebody signs in.
  if (who.is === 'nobody' && doing === null)
    return (
      <p class="act-doings">
        <SignInButton />
      </p>
    )
  return (
    <>
      {isOpenShop && <p class="field-help">{words.people.openShop}</p>}
      <p class="act-doings">
        {may.map((one) => (
          <button
            key={one}
            type="button"
            class="plain"
            aria-pressed={one === doing}
            onClick={() => setDoing(one === doing ? null : one)}
          >
            {say.doings[one]}
          </button>
        ))}
      </p>
      {doing && <FormOf key={doing} {...props} who={who} doing={doing} onDone={done} />}
    </>
  )
}
