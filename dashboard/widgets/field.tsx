import type { ComponentChildren } from 'preact'
import { useEffect, useState } from 'preact/hooks'
import { words } from '../words/en.ts'
import { Tick } from './tick.tsx'

interface FieldProps {
  readonly id: string
  readonly label: string
  readonly help?: string | undefined
  readonly problem?: string | undefined
}

function Frame({
  id,
  label,
  help,
  problem,
  children,
}: FieldProps & { children: ComponentChildren }) {
  return (
    <div class={problem ? 'field field-wrong' : 'field'}>
      <label for={id}>{label}</label>
      {children}
      <p class="field-help" id={`${id}-help`}>
        {problem ?? help ?? ''}
      </p>
    </div>
  )
}

/** Characters, where nobody says otherwise. */
const LENGTH_MAX = 80
const PASSWORD_LENGTH_MAX = 200

/** A line to type in, its problem or help beside it. `offered`: what may be meant. `onDone`: left, or Enter was pressed in it. */
export function TextField(
  props: FieldProps & {
    value: string
    numeric?: boolean
    lengthMax?: number
    /** What a browser may fill in; else it leaves the field alone. */
    autocomplete?: 'username' | undefined
    offered?: readonly string[]
    onText: (text: string) => void
    onDone?: () => void
  },
) {
  return (
    <Frame {...props}>
      <input
        id={props.id}
        name={props.id}
        value={props.value}
        maxLength={props.lengthMax ?? LENGTH_MAX}
        autocomplete={props.autocomplete ?? 'off'}
        inputMode={props.numeric ? 'decimal' : 'text'}
        aria-invalid={props.problem ? 'true' : undefined}
        aria-describedby={`${props.id}-help`}
        onInput={(event) => props.onText(event.currentTarget.value)}
        onChange={props.onDone}
        list={props.offered ? `${props.id}-offered` : undefined}
      />
      {props.offered && (
        <datalist id={`${props.id}-offered`}>
          {props.offered.map((name) => (
            <option key={name} value={name} />
          ))}
        </datalist>
      )}
    </Frame>
  )
}

/**
 * A password: not shown as it is typed. One that is set here (`isNew`) is filled in by no browser, and may be looked at:
 * it is typed once.
 */
export function SecretField(
  props: FieldProps & { value: string; isNew?: boolean; onText: (text: string) => void },
) {
  const { isNew = false } = props
  const [isShown, setIsShown] = useState(false)
  const isEmpty = props.value === ''
  // What was sent is gone, and the next one begins unseen.
  useEffect(() => {
    if (isEmpty) setIsShown(false)
  }, [isEmpty])
  return (
    <Frame {...props}>
      <input
        id={props.id}
        name={props.id}
        {...({ type: isShown ? 'text' : 'password' } as { type: 'password' })}
        value={props.value}
        maxLength={PASSWORD_LENGTH_MAX}
        autocomplete={isNew ? 'new-password' : 'current-password'}
        autocapitalize="off"
        spellcheck={false}
        aria-invalid={props.problem ? 'true' : undefined}
        aria-describedby={`${props.id}-help`}
        onInput={(event) => props.onText(event.currentTarget.value)}
      />
      {isNew && <Tick text={words.people.showTyped} isOn={isShown} onTick={setIsShown} />}
    </Frame>
  )
}

/** A text of several lines. */
export function LongField(props: FieldProps & { value: string; onText: (text: string) => void }) {
  return (
    <Frame {...props}>
      <textarea
        id={props.id}
        name={props.id}
        rows={5}
        dir="auto"
        value={props.value}
        aria-invalid={props.problem ? 'true' : undefined}
        aria-describedby={`${props.id}-help`}
        onInput={(event) => props.onText(event.currentTarget.value)}
      />
    </Frame>
  )
}

interface Choice {
  readonly key: string
  readonly name: string
}

/** Choices under a heading of their own. */
export interface ChoiceGroup {
  readonly title: string
  readonly choices: readonly Choice[]
}

const Options = ({ choices }: { choices: readonly Choice[] }) => (
  <>
    {choices.map(({ key, name }) => (
      <option key={key} value={key}>
        {name}
      </option>
    ))}
  </>
)

/** A choice of a few, or of several groups of a few. */
export function ChoiceField(
  props: FieldProps & {
    value: string
    choices: readonly Choice[]
    groups?: readonly ChoiceGroup[]
    onText: (text: string) => void
  },
) {
  return (
    <Frame {...props}>
      <select
        id={props.id}
        name={props.id}
        value={props.value}
        aria-invalid={props.problem ? 'true' : undefined}
        aria-describedby={`${props.id}-help`}
        onChange={(event) => props.onText(event.currentTarget.value)}
      >
        <Options choices={props.choices} />
        {props.groups?.map(({ title, choices }) => (
          <optgroup key={title} label={title}>
            <Options choices={choices} />
          </optgroup>
        ))}
      </select>
    </Frame>
  )
}

/** A choice where there are words for each key, a line to type in where there are none. */
export function NamedField(
  props: FieldProps & {
    value: string
    named: Readonly<Record<string, string>> | null
    numeric?: boolean
    onText: (text: string) => void
  },
) {
  const { named, ...common } = props
  if (named === null) return <TextField {...common} />
  const choices = Object.entries(named).map(([key, name]) => ({ key, name }))
  return <ChoiceField {...common} choices={choices} />
}
