import type { ChainApplied } from '../../../server/messages/chain.ts'
import { api } from '../../live/api.ts'
import { useForm } from '../../live/use-form.ts'
import { useWho } from '../../live/use-who.ts'
import { lacksName, nameOf } from '../../live/who.ts'
import { TextField } from '../../widgets/field.tsx'
import { SubmitButton } from '../../widgets/submit-button.tsx'
import { WhoField } from '../../widgets/who-field.tsx'
import { words } from '../../words/en.ts'
import type { Draft } from './draft.ts'
import { Sheet } from './sheet.tsx'

const { apply: say } = words.chain

const FIELDS = ['who', 'why'] as const
type Field = (typeof FIELDS)[number]

/** As long as the log of revisions takes it. */
const WHY_LENGTH_MAX = 500

const idOf = (field: Field) => `apply-${field}`

/** Puts the draft in force, with a name and a reason. */
export function ApplySheet(props: {
  draft: Draft
  isProved: boolean
  who: string
  onApplied(applied: ChainApplied): void
  close(): void
}) {
  const acts = useWho()
  const form = useForm<Field>(() => ({ who: props.who, why: '' }), {
    idOf,
    who: acts,
    problemsOf: (texts) => ({
      ...(lacksName(acts, texts.who) && { who: say.required }),
      ...(texts.why.trim() === '' && { why: say.required }),
    }),
    fieldOf: (path) => FIELDS.find((field) => field === path) ?? null,
    async send({ who, why }) {
      const ask = { file: props.draft, who: nameOf(acts, who), why: why.trim() }
      props.onApplied(await api.applyChain(ask))
      return null
    },
  })
  const bound = (field: Field, label: string, help: string) => ({
    ...{ id: idOf(field), label, help, value: form.texts[field] },
    problem: form.problems[field],
    onText: (text: string) => form.change(field, text),
  })
  return (
    <Sheet title={say.title} close={props.close}>
      <form class="apply" noValidate onSubmit={form.onSubmit}>
        <p class="desk-intro">
          {say.intro} {say.betweenBends}
        </p>
        {!props.isProved && <p class="apply-caution">{say.unproved}</p>}
        <div class="apply-fields">
          <WhoField who={acts} {...bound('who', say.who, say.whoHelp)} />
          <TextField {...bound('why', say.why, say.whyHelp)} lengthMax={WHY_LENGTH_MAX} />
        </div>
        <p class="form-refused" role="alert">
          {form.refusal}
        </p>
        <SubmitButton name={say.apply} isBusy={form.isBusy} />
      </form>
    </Sheet>
  )
}
