import { FLAWS } from '../../../server/messages/act-kinds/inspection.ts'
import { api } from '../../live/api.ts'
import { settings } from '../../live/settings.ts'
import { useForm } from '../../live/use-form.ts'
import { lacksName, nameOf, type Who } from '../../live/who.ts'
import { ChoiceField, LongField, TextField } from '../../widgets/field.tsx'
import { SubmitButton } from '../../widgets/submit-button.tsx'
import { Tick } from '../../widgets/tick.tsx'
import { WhoField } from '../../widgets/who-field.tsx'
import { words } from '../../words/en.ts'
import {
  fieldOfPath,
  INSPECTION_FIELDS,
  type InspectionField,
  type InspectionTexts,
  inspectionAsk,
  problemsOfInspection,
} from './inspection-ask.ts'

const { inspection: say, trail } = words

const idOf = (field: InspectionField) => `inspection-${field}`
/** What stays the same from bend to bend, kept while the page is open; not who: another may stand there by then. */
const KEPT = ['gauge', 'code', 'ovalityBy', 'ovalityLimit', 'thinningMaxPercent'] as const
let kept: Partial<InspectionTexts> = {}

const firstTexts = () =>
  ({
    ...Object.fromEntries(INSPECTION_FIELDS.map((field) => [field, ''])),
    ...kept,
  }) as InspectionTexts

function Flaws(props: { chosen: string; onText: (text: string) => void }) {
  const chosen = new Set(props.chosen.split(' ').filter((flaw) => flaw !== ''))
  const toggle = (flaw: string) => {
    if (!chosen.delete(flaw)) chosen.add(flaw)
    props.onText([...chosen].join(' '))
  }
  return (
    <fieldset class="flaws">
      <legend>{say.flawsTitle}</legend>
      {FLAWS.map((flaw) => (
        <Tick
          key={flaw}
          text={say.flaws[flaw]}
          isOn={chosen.has(flaw)}
          onTick={() => toggle(flaw)}
        />
      ))}
    </fieldset>
  )
}

const choicesOf = (named: Readonly<Record<string, string>>) =>
  Object.entries(named).map(([key, name]) => ({ key, name }))

/** What was measured and seen on a bend with the tube in hand. */
export function InspectionForm(props: { bendId: number; who: Who; onDone: () => void }) {
  const { bendId, who, onDone } = props
  const unit = settings.unit.value
  const form = useForm<InspectionField>(firstTexts, {
    idOf,
    who,
    problemsOf: (texts) => ({
      ...problemsOfInspection(texts, unit),
      ...(lacksName(who, texts.who) && { who: say.required }),
    }),
    fieldOf: fieldOfPath,
    async send(texts) {
      const ask = { ...inspectionAsk(texts, unit), who: nameOf(who, texts.who) }
      await api.addAct(bendId, 'inspections', ask)
      kept = Object.fromEntries(KEPT.map((field) => [field, texts[field]]))
      onDone()
      return null
    },
  })
  const bound = (field: Exclude<InspectionField, 'who' | 'flaws'>) => ({
    ...{ id: idOf(field), label: say.asks[field], help: say.helps[field] },
    ...{ value: form.texts[field], problem: form.problems[field] },
    onText: (text: string) => form.change(field, text),
  })
  return (
    <form class="act-form" aria-label={trail.doings.inspections} onSubmit={form.onSubmit}>
      <TextField {...bound('gauge')} />
      <TextField {...bound('largestOdMm')} />
      <TextField {...bound('smallestOdMm')} />
      <TextField {...bound('wallMm')} />
      <ChoiceField {...bound('looks')} choices={choicesOf(say.looks)} />
      {form.texts.looks === 'flawed' && (
        <Flaws chosen={form.texts.flaws} onText={(text) => form.change('flaws', text)} />
      )}
      {form.problems.flaws && <p class="form-refused">{form.problems.flaws}</p>}
      <LongField {...bound('remark')} />
      <TextField {...bound('code')} />
      <ChoiceField {...bound('ovalityBy')} choices={choicesOf(say.ovalityBy)} />
      {form.texts.ovalityBy !== '' && <TextField {...bound('ovalityLimit')} numeric />}
      <TextField {...bound('thinningMaxPercent')} numeric />
      <WhoField
        {...{ who, id: idOf('who'), value: form.texts.who }}
        problem={form.problems.who}
        onText={(text) => form.change('who', text)}
      />
      <SubmitButton name={trail.doings.inspections} isBusy={form.isBusy} />
      <p class="form-refused" role="alert">
        {form.refusal}
      </p>
    </form>
  )
}
