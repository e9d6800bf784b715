import { NOTEBOOK_FIELDS } from '../../../server/messages/notebook.ts'
import { ChoiceField, TextField } from '../../widgets/field.tsx'
import { notebookWords as say } from '../../words/en-notebook.ts'
import { keyOf, type NotebookForm, withSource } from './notebook-ask.ts'

/** Which column is what, a field beside the other. */
export function ColumnsForm(props: {
  form: NotebookForm
  header: readonly string[]
  onChange: (form: NotebookForm) => void
}) {
  const { form, header, onChange } = props
  const choices = [
    { key: '', name: say.notThere },
    ...header.map((name, column) => ({ key: String(column), name: name || `${column + 1}` })),
    { key: 'value', name: say.oneValue },
  ]
  const put = (mapping: NotebookForm['mapping']) => onChange({ ...form, mapping })
  return (
    <fieldset class="notebook-columns">
      <legend>{say.columnsTitle}</legend>
      {NOTEBOOK_FIELDS.map((field) => {
        const source = form.mapping[field]
        const label = say.fields[field]
        return (
          <div key={field}>
            <ChoiceField
              id={`notebook-${field}`}
              label={label}
              value={keyOf(source)}
              choices={choices}
              onText={(key) => put(withSource(form.mapping, field, key))}
            />
            {source?.value !== undefined && (
              <TextField
                id={`notebook-${field}-value`}
                label={say.value(label)}
                value={source.value}
                onText={(value) => put({ ...form.mapping, [field]: { value } })}
              />
            )}
          </div>
        )
      })}
    </fieldset>
  )
}
