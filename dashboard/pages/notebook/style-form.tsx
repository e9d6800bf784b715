import type { StoredSetup } from '../../../server/messages/setup.ts'
import { ChoiceField } from '../../widgets/field.tsx'
import { notebookWords as say } from '../../words/en-notebook.ts'
import type { NotebookForm } from './notebook-ask.ts'

const choicesOf = <K extends string>(names: Readonly<Record<K, string>>) =>
  (Object.keys(names) as K[]).map((key) => ({ key, name: names[key] }))

/** How the file is written, and what its bends were made with. */
export function StyleForm(props: {
  form: NotebookForm
  setups: readonly StoredSetup[]
  onChange: (form: NotebookForm) => void
}) {
  const { form, setups, onChange } = props
  return (
    <fieldset class="notebook-style">
      <legend>{say.howTitle}</legend>
      <ChoiceField
        id="notebook-separator"
        label={say.separator}
        value={form.separator}
        choices={choicesOf(say.separators)}
        onText={(key) => onChange({ ...form, separator: key as NotebookForm['separator'] })}
      />
      <ChoiceField
        id="notebook-decimal"
        label={say.decimal}
        value={form.decimal}
        choices={choicesOf(say.decimals)}
        onText={(key) => onChange({ ...form, decimal: key as NotebookForm['decimal'] })}
      />
      <ChoiceField
        id="notebook-dates"
        label={say.dates}
        value={form.dates}
        choices={choicesOf(say.datesNames)}
        onText={(key) => onChange({ ...form, dates: key as NotebookForm['dates'] })}
      />
      <ChoiceField
        id="notebook-setup"
        label={say.setup}
        help={say.setupHelp}
        value={String(form.setupId)}
        choices={setups.map(({ id, setup: { die, tube } }) => ({
          key: String(id),
          name: say.setupName(id, die.name, tube.material, tube.lot),
        }))}
        onText={(key) => onChange({ ...form, setupId: Number(key) })}
      />
    </fieldset>
  )
}
