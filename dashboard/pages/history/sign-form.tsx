import { useEffect, useState } from 'preact/hooks'
import { SIGNING_ROLES } from '../../../server/messages/act-kinds/signature.ts'
import type { Here } from '../../../server/messages/people.ts'
import type { PieceAsk, PieceNow } from '../../../server/messages/piece.ts'
import { ApiError, api } from '../../live/api.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { useForm } from '../../live/use-form.ts'
import { lacksName, nameOf, type Who } from '../../live/who.ts'
import { ChoiceField, SecretField, TextField } from '../../widgets/field.tsx'
import { WhoField } from '../../widgets/who-field.tsx'
import { words } from '../../words/en.ts'
import { pieceWords as say } from '../../words/en-piece.ts'
import { PieceBends } from './piece-bends.tsx'

const { trail } = words

const FIELDS = ['role', 'meaning', 'who', 'password'] as const
type Field = (typeof FIELDS)[number]
const idOf = (field: Field) => `sign-${field}`

export interface SignParts {
  /** The bend that may be signed by itself; null: the whole piece alone is offered. */
  readonly bendId: number | null
  readonly place: PieceAsk
  readonly here: Here
  readonly who: Who
  /** What is to be said of it; null: the bend's own list of acts says it. */
  readonly onDone: (said: string | null) => void
}

const voidedIn = ({ bends }: PieceNow) => bends.filter(({ isVoid }) => isVoid).length

/** This bend or its whole piece; nothing to choose where no other bend of it counts. */
function Scope(props: {
  piece: PieceNow | null
  isWhole: boolean
  onWhole: (is: boolean) => void
}) {
  const { piece, isWhole, onWhole } = props
  if (piece === null || piece.bends.length - voidedIn(piece) < 2) return null
  const button = (is: boolean, name: string) => (
    <button type="button" class="plain" aria-pressed={is === isWhole} onClick={() => onWhole(is)}>
      {name}
    </button>
  )
  return (
    <fieldset class="sign-scope">
      <legend>{say.scope}</legend>
      {button(false, say.thisBend)}
      {button(true, say.all(piece.bends.length, voidedIn(piece)))}
    </fieldset>
  )
}

/** What is signed at once, before it is. */
function Whole({ piece, problem }: { piece: PieceNow | null; problem: string | null }) {
  if (problem !== null) return <p class="form-refused">{problem}</p>
  if (piece === null) return null
  return (
    <>
      <PieceBends piece={piece} />
      <p class="field-help">{say.rule}</p>
    </>
  )
}

function useSigning({ bendId, place, here, who, onDone }: SignParts, isWhole: boolean) {
  const [turn, setTurn] = useState(0)
  const question = `${turn} ${place.piece} ${place.part}`
  const { value: piece, problem } = useAnswer(question, () => api.piece(place))
  const asked: readonly Field[] =
    here.person === null ? ['role', 'meaning'] : ['role', 'meaning', 'password']

  async function send(texts: Record<Field, string>): Promise<null> {
    const said = Object.fromEntries(asked.map((field) => [field, texts[field]]))
    const body = { ...said, who: nameOf(who, texts.who) }
    if (!isWhole && bendId !== null) {
      await api.addAct(bendId, 'signatures', body)
      onDone(null)
      return null
    }
    if (piece === null) {
      setTurn((now) => now + 1)
      throw new Error(say.unread)
    }
    const withoutVoid = voidedIn(piece) > 0
    const signed = await api
      .signPiece({ ...body, ...place, seen: piece.seen, withoutVoid })
      .catch((error: unknown) => {
        // What it is by now, beside what was refused.
        if (error instanceof ApiError && error.code === 'changed-since') setTurn((now) => now + 1)
        throw error
      })
    onDone(say.done(signed))
    return null
  }

  const form = useForm<Field>(
    () => ({ role: 'signed', meaning: trail.meaning, who: '', password: '' }),
    {
      idOf,
      problemsOf: (texts) => ({
        ...Object.fromEntries(
          asked
            .filter((field) => texts[field].trim() === '')
            .map((field) => [field, trail.required]),
        ),
        ...(lacksName(who, texts.who) && { who: trail.required }),
      }),
      // Of whoever is signed in there is no field to put it beside.
      fieldOf: (path) =>
        FIELDS.find((field) => field === path && (field !== 'who' || who.is === 'typed')) ?? null,
      send,
    },
  )
  return { form, piece, problem }
}

/** Signs one bend, or every bend of its piece with one sentence and one password. */
export function SignForm(parts: SignParts) {
  const { bendId, who } = parts
  const [isWhole, setIsWhole] = useState(bendId === null)
  const { form, piece, problem } = useSigning(parts, isWhole)
  // That one had to sign in is said no longer.
  useEffect(() => {
    if (who.is === 'signed-in') form.hush()
  }, [who.is])
  const bound = (field: Field) => ({
    ...{ id: idOf(field), label: trail.asks[field] },
    ...{ value: form.texts[field], problem: form.problems[field] },
    onText: (text: string) => form.change(field, text),
  })
  const name = isWhole ? say.submit : trail.doings.signatures
  return (
    <form class="act-form" aria-label={name} onSubmit={form.onSubmit}>
      {bendId !== null && <Scope {...{ piece, isWhole }} onWhole={setIsWhole} />}
      {isWhole && <Whole {...{ piece, problem }} />}
      <ChoiceField
        {...bound('role')}
        choices={SIGNING_ROLES.map((key) => ({ key, name: trail.roles[key] }))}
      />
      <TextField {...bound('meaning')} lengthMax={500} />
      {parts.here.person !== null && <SecretField {...bound('password')} />}
      <WhoField {...bound('who')} who={who} />
      <button type="submit" class="plain" disabled={form.isBusy}>
        {name}
      </button>
      <p class="form-refused" role="alert">
        {form.refusal}
      </p>
    </form>
  )
}
