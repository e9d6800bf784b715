import { useState } from 'preact/hooks'
import { AMENDABLE, type Amendable } from '../../../server/messages/act-kinds/amendment.ts'
import type { Act } from '../../../server/messages/acts.ts'
import { standingText, voidedBy } from '../../../server/messages/bend-standing.ts'
import type { Bend } from '../../../server/messages/bends.ts'
import type { Here } from '../../../server/messages/people.ts'
import { api } from '../../live/api.ts'
import { useForm } from '../../live/use-form.ts'
import { lacksName, nameOf, type Who, whoActs } from '../../live/who.ts'
import { ChoiceField, LongField, TextField } from '../../widgets/field.tsx'
import { SignInButton } from '../../widgets/sign-in-button.tsx'
import { SubmitButton } from '../../widgets/submit-button.tsx'
import { WhoField } from '../../widgets/who-field.tsx'
import { words } from '../../words/en.ts'
import { InspectionForm } from './inspection-form.tsx'
import { PhotoForm } from './photo-form.tsx'
import { pieceOfBend } from './piece-of-bend.ts'
import { SignForm } from './sign-form.tsx'

const { trail: say } = words

const OF_WORDS = ['amendments', 'void', 'reinstatement', 'notes'] as const
type OfWords = (typeof OF_WORDS)[number]
const DOINGS = [
  ...(['amendments', 'void', 'reinstatement', 'signatures', 'notes'] as const),
  ...(['inspections', 'photos'] as const),
]
type Doing = (typeof DOINGS)[number]
const FIELDS = ['who', 'field', 'to', 'reason', 'text'] as const
type Field = (typeof FIELDS)[number]
type Texts = Record<Field, string>

/** What each act asks for besides who. */
const ASKED: Readonly<Record<OfWords, readonly Field[]>> = {
  amendments: ['field', 'to', 'reason'],
  void: ['reason'],
  reinstatement: ['reason'],
  notes: ['text'],
}
const MAY_BE_EMPTY: readonly Field[] = ['to']
const idOf = (field: Field) => `act-${field}`

interface Parts {
  readonly bend: Bend
  readonly acts: readonly Act[]
  readonly who: Who
  readonly doing: OfWords
  readonly onDone: () => void
}

function bodyOf(parts: Parts, texts: Texts): object {
  const said = Object.fromEntries(ASKED[parts.doing].map((field) => [field, texts[field]]))
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
  if (field === 'text' || (field === 'to' && texts.field === 'note'))
    return <LongField {...bound} />
  return <TextField {...bound} lengthMax={500} />
}

function DoingForm(parts: Parts) {
  const { bend, doing, who, onDone } = parts
  const asked = ASKED[doing]
  const first: Texts = {
    ...{ who: '', field: 'operator', to: '', reason: '', text: '' },
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

interface FormParts extends Omit<Parts, 'doing' | 'onDone'> {
  readonly here: Here
  readonly doing: Doing
  readonly onDone: (said?: string | null) => void
}

function FormOf({ doing, here, onDone, ...props }: FormParts) {
  const { bend, acts, who } = props
  const own = { bendId: bend.id, who, onDone: () => onDone() }
  if (doing === 'inspections') return <InspectionForm {...own} />
  if (doing === 'photos') return <PhotoForm {...own} />
  if (doing === 'signatures')
    return <SignForm {...own} {...{ here, onDone }} place={pieceOfBend(bend, acts)} />
  return <DoingForm {...props} doing={doing} onDone={own.onDone} />
}

/** What a person can do about a recorded bend; the record itself stays. */
export function ActForm(
  props: Omit<FormParts, 'doing' | 'who' | 'onDone'> & { onDone: () => void },
) {
  const [doing, setDoing] = useState<Doing | null>(null)
  const [said, setSaid] = useState<string | null>(null)
  const isVoid = voidedBy(props.acts) !== null
  const may = DOINGS.filter((one) => one !== (isVoid ? 'void' : 'reinstatement'))
  const { isOpenShop } = props.here
  const who = whoActs({ value: props.here, problem: null })
  const done = (text: string | null = null) => {
    setDoing(null)
    setSaid(text)
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
            onClick={() => {
              setSaid(null)
              setDoing(one === doing ? null : one)
            }}
          >
            {say.doings[one]}
          </button>
        ))}
      </p>
      {doing && <FormOf key={doing} {...props} who={who} doing={doing} onDone={done} />}
      <p role="status">{said}</p>
    </>
  )
}
