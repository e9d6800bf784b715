import { MATERIALS } from '../../../server/bend/materials.ts'
import type { MaterialRow } from '../../../server/messages/material.ts'
import { api } from '../../live/api.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { ChoiceField, type ChoiceGroup, TextField } from '../../widgets/field.tsx'
import { words } from '../../words/en.ts'
import type { Field, Problems, Texts } from './fields.ts'
import {
  BENDS,
  metalTexts,
  NO_METAL,
  OWN,
  OWN_FIELDS,
  type OwnField,
  shownFields,
} from './own-fields.ts'

const { material: say } = words

interface MetalProps {
  readonly texts: Texts
  readonly problems: Problems
  onText(field: Field, text: string): void
  onFill(texts: Texts): void
}

/** What is chosen when a metal of an earlier set-up is; its number among them follows. */
const USED = 'used '

function ownRows(rows: readonly MaterialRow[] | null): MaterialRow[] {
  return (rows ?? []).filter(({ ownMaterial }) => ownMaterial !== null)
}

/** The row whose very figures the form holds; -1 when they are new. */
const usedAs = (texts: Texts, used: readonly MaterialRow[]) =>
  used.findIndex(({ key, ownMaterial }) => {
    const row = metalTexts(key, ownMaterial)
    return (
      row.material === texts.material && OWN_FIELDS.every((field) => row[field] === texts[field])
    )
  })

/** Two metals of one name are told apart by their figures. */
function nameOf({ name, ownMaterial }: MaterialRow, used: readonly MaterialRow[]): string {
  const isAlone = used.filter((row) => row.name === name).length === 1
  if (isAlone || ownMaterial === null) return name
  return ownMaterial.knownFrom === 'bends'
    ? `${name} (${say.bends})`
    : `${name} (${say.figures(ownMaterial)})`
}

function groupsOf(used: readonly MaterialRow[]): ChoiceGroup[] {
  const before = used.map((row, i) => ({ key: `${USED}${i}`, name: nameOf(row, used) }))
  return [
    { title: say.table, choices: MATERIALS },
    ...(before.length > 0 ? [{ title: say.usedBefore, choices: before }] : []),
    {
      title: say.other,
      choices: [
        { key: OWN, name: say.own },
        { key: BENDS, name: say.bends },
      ],
    },
  ]
}

const HELP: Readonly<Record<string, string>> = { [BENDS]: say.bendsHelp }

/** What the tube is made of: of the table, the shop's own, or not known. */
export function MaterialChoice({ texts, problems, onFill }: MetalProps) {
  const used = ownRows(useAnswer('materials', api.materials).value)
  const usedIndex = usedAs(texts, used)
  const isUsed = usedIndex >= 0

  function choose(key: string): void {
    const row = key.startsWith(USED) ? used[Number(key.slice(USED.length))] : undefined
    if (row !== undefined) onFill({ ...texts, ...metalTexts(row.key, row.ownMaterial) })
    else onFill({ ...texts, ...(isUsed ? NO_METAL : {}), material: key })
  }

  const isNamed = texts.material === OWN || texts.material === BENDS
  return (
    <ChoiceField
      id="material"
      label={words.setup.material}
      value={isUsed ? `${USED}${usedIndex}` : texts.material}
      problem={isNamed ? undefined : problems.material}
      help={isUsed ? say.usedHelp : HELP[texts.material]}
      choices={[{ key: '', name: words.setup.choose }]}
      groups={groupsOf(used)}
      onText={choose}
    />
  )
}

const FIGURES: Readonly<
  Record<Exclude<OwnField, 'ownName' | 'hardening'>, { label: string; help: string }>
> = {
  modulus: { label: say.modulus, help: say.modulusHelp },
  yield: { label: say.yield, help: say.yieldHelp },
  tangent: { label: say.tangent, help: say.tangentHelp },
  strength: { label: say.strength, help: say.strengthHelp },
  exponent: { label: say.exponent, help: say.exponentHelp },
  unloading: { label: say.unloading, help: say.unloadingHelp },
  spread: { label: say.spread, help: say.spreadHelp },
  source: { label: say.source, help: say.sourceHelp },
}

const HARDENINGS = Object.entries(say.hardenings).map(([key, name]) => ({ key, name }))

/** One field of a metal. The daemon's word on its name stands beside the name. */
function MetalField({ field, ...props }: MetalProps & { field: OwnField }) {
  const { texts, problems, onText } = props
  const common = {
    id: field,
    value: texts[field],
    problem: problems[field],
    onText: (text: string) => onText(field, text),
  }
  if (field === 'ownName') {
    const help = texts.material === BENDS ? say.bendsNameHelp : say.nameHelp
    const problem = problems.ownName ?? problems.material
    return <TextField {...common} label={say.name} help={help} problem={problem} />
  }
  if (field === 'hardening')
    return (
      <ChoiceField
        {...common}
        label={say.hardening}
        help={say.hardeningHelp}
        choices={HARDENINGS}
      />
    )
  return <TextField {...common} {...FIGURES[field]} numeric={field !== 'source'} />
}

/** The fields of a metal that is not in the table; nothing for one that is. */
export function OwnMetal(props: MetalProps) {
  const fields = shownFields(props.texts)
  if (fields.length === 0) return null
  const isUnknown = props.texts.material === BENDS
  return (
    <fieldset class="group own-metal">
      <legend>{isUnknown ? say.bendsTitle : say.ownTitle}</legend>
      {fields.map((field) => (
        <MetalField key={field} field={field} {...props} />
      ))}
      {isUnknown && <p class="own-metal-intro">{say.bendsIntro}</p>}
    </fieldset>
  )
}
