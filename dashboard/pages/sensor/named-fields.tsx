import { NamedField } from '../../widgets/field.tsx'

interface NamedFieldsProps<Field extends string> {
  readonly label: string
  readonly shown: readonly Field[]
  /** Those that take letters; a tablet offers digits for the others. */
  readonly lettered: readonly Field[]
  readonly names: Readonly<Record<Field, { readonly name: string; readonly help: string }>>
  readonly choices: Readonly<Record<string, Readonly<Record<string, string>>>>
  readonly texts: Readonly<Record<Field, string>>
  readonly problems: Readonly<Partial<Record<Field, string>>>
  idOf(field: Field): string
  change(field: Field, text: string): void
}

/** The fields that a form has at the moment, each with its words: a choice where there are choices. */
export function NamedFields<Field extends string>(props: NamedFieldsProps<Field>) {
  const { label, shown, lettered, names, choices, texts, problems, idOf, change } = props
  return (
    <fieldset class="group" aria-label={label}>
      {shown.map((field) => (
        <NamedField
          key={field}
          id={idOf(field)}
          label={names[field].name}
          help={names[field].help}
          problem={problems[field]}
          named={choices[field] ?? null}
          numeric={!lettered.includes(field)}
          value={texts[field]}
          onText={(text) => change(field, text)}
        />
      ))}
    </fieldset>
  )
}
