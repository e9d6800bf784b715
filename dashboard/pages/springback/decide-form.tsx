import { useEffect, useRef } from 'preact/hooks'
import type { TeachingAsk } from '../../../server/messages/acts.ts'
import { api } from '../../live/api.ts'
import { useForm } from '../../live/use-form.ts'
import { useWho } from '../../live/use-who.ts'
import { lacksName, nameOf } from '../../live/who.ts'
import { TextField } from '../../widgets/field.tsx'
import { SubmitButton } from '../../widgets/submit-button.tsx'
import { WhoField } from '../../widgets/who-field.tsx'
import { words } from '../../words/en.ts'

const { decide: say } = words.springback

const FIELDS = ['who', 'reason'] as const
type Field = (typeof FIELDS)[number]

/** What is to be decided of which bend. */
export interface Deciding {
  readonly bendId: number
  readonly decision: TeachingAsk['decision']
}

const idOf = (field: Field) => `decide-${field}`

/** A person's decision on one bend, with a name and a reason. */
export function DecideForm(props: {
  deciding: Deciding
  who: string
  onDone: (bendId: number) => void
  onCancel: () => void
}) {
  const { bendId, decision } = props.deciding
  const acts = useWho()
  const panel = useRef<HTMLFormElement>(null)
  const form = useForm<Field>(() => ({ who: props.who, reason: '' }), {
    idOf,
    who: acts,
    problemsOf: (texts) => ({
      ...(lacksName(acts, texts.who) && { who: say.required }),
      ...(texts.reason.trim() === '' && { reason: say.required }),
    }),
    fieldOf: (path) => FIELDS.find((field) => field === path) ?? null,
    async send({ who, reason }) {
      await api.decide(bendId, { decision, who: nameOf(acts, who), reason: reason.trim() })
      props.onDone(bendId)
      return null
    },
  })
  useEffect(() => {
    if (acts.is === 'asked') return
    panel.current?.scrollIntoView({ block: 'nearest' })
    const first = acts.is === 'typed' && props.who === '' ? 'who' : 'reason'
    document.getElementById(idOf(first))?.focus()
  }, [acts.is])
  const bound = (field: Field, label: string, help: string) => ({
    ...{ id: idOf(field), label, help, value: form.texts[field] },
    problem: form.problems[field],
    onText: (text: string) => form.change(field, text),
  })
  return (
    <form
      class="decide"
      aria-label={say.titles[decision](bendId)}
      onSubmit={form.onSubmit}
      ref={panel}
    >
      <h3>{say.titles[decision](bendId)}</h3>
      <p>{say.help[decision]}</p>
      <div class="decide-fields">
        <WhoField who={acts} {...bound('who', say.who, say.whoHelp)} />
        <TextField {...bound('reason', say.reason, say.reasonHelp)} />
      </div>
      <p class="form-refused" role="alert">
        {form.refusal}
      </p>
      <p class="decide-acts">
        <SubmitButton name={say.acts[decision]} isBusy={form.isBusy} />
        <button type="button" class="plain" onClick={props.onCancel}>
          {say.cancel}
        </button>
      </p>
    </form>
  )
}
