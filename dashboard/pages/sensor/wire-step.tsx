import { useState } from 'preact/hooks'
import type { StationState } from '../../../server/messages/live.ts'
import type { PortFound, Probed, Wire } from '../../../server/messages/wire.ts'
import { ApiError, api, sentenceOf } from '../../live/api.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { NamedField } from '../../widgets/field.tsx'
import { words } from '../../words/en.ts'
import {
  readWire,
  textsOfWire,
  type WireField,
  type WireProblems,
  type WireTexts,
  wireFieldOf,
  wireFieldsFor,
  wireProblems,
} from './wire-texts.ts'

const { wire: say } = words.sensor
const { fields, choices } = say

type ChoiceName = keyof typeof choices
const isChoice = (field: WireField): field is WireField & ChoiceName => field in choices

function WireInput(props: {
  field: WireField
  texts: WireTexts
  problems: WireProblems
  onText: (text: string) => void
}) {
  const { field, texts, problems, onText } = props
  const { name, help } = fields[field]
  const common = { id: `wire-${field}`, label: name, help, problem: problems[field], onText }
  const choice = isChoice(field) ? choices[field] : null
  const named = field === 'kind' ? say.kinds : choice
  return <NamedField {...common} {...{ value: texts[field], named }} />
}

function Ports(props: {
  ports: readonly PortFound[]
  chosen: string
  onChoose: (path: string) => void
}) {
  if (props.ports.length === 0) return <p>{say.noPorts}</p>
  return (
    <div class="buttons">
      {props.ports.map(({ path, name }) => (
        <button
          type="button"
          class="plain"
          key={path}
          aria-pressed={props.chosen === path}
          onClick={() => props.onChoose(path)}
        >
          {name}
        </button>
      ))}
    </div>
  )
}

function Heard({ probed, onTake }: { probed: Probed; onTake: () => void }) {
  return (
    <p class="step-state" role="status">
      {say.heard(probed.sentence, probed.sure)}{' '}
      {probed.wire && (
        <button type="button" class="plain" onClick={onTake}>
          {say.takeHeard}
        </button>
      )}
    </p>
  )
}

function useWireForm(first: Wire) {
  const [texts, setTexts] = useState(() => textsOfWire(first))
  const [problems, setProblems] = useState<WireProblems>({})
  const [said, setSaid] = useState<{ text: string; isRefusal: boolean } | null>(null)
  const [probed, setProbed] = useState<Probed | 'listening' | null>(null)

  async function send(): Promise<void> {
    const wrong = wireProblems(texts)
    setProblems(wrong)
    setSaid(null)
    const [wrongField] = Object.keys(wrong)
    if (wrongField) return document.getElementById(`wire-${wrongField}`)?.focus()
    try {
      await api.useWire(readWire(texts))
      setSaid({ text: say.inUse, isRefusal: false })
    } catch (error) {
      const field = error instanceof ApiError ? wireFieldOf(error.field) : null
      if (field) setProblems({ [field]: sentenceOf(error) })
      else setSaid({ text: sentenceOf(error), isRefusal: true })
    }
  }

  async function listen(): Promise<void> {
    setProbed('listening')
    try {
      setProbed(await api.probe({ path: texts.path.trim() }))
      setSaid(null)
    } catch (error) {
      setProbed(null)
      setSaid({ text: sentenceOf(error), isRefusal: true })
    }
  }

  return {
    ...{ texts, problems, said, probed, send, listen },
    change: (field: WireField, text: string) =>
      setTexts((before) => ({ ...before, [field]: text })),
    take: (wire: Wire) => {
      setTexts(textsOfWire(wire))
      setProbed(null)
    },
  }
}

function WireForm({ first, ports }: { first: Wire; ports: readonly PortFound[] }) {
  const form = useWireForm(first)
  const { texts, problems, said, probed } = form
  const hasPort = texts.kind === 'serial' || texts.kind === 'modbus'
  return (
    <form
      class="step-form"
      noValidate
      onSubmit={(event) => {
        event.preventDefault()
        void form.send()
      }}
    >
      {hasPort && (
        <Ports {...{ ports, chosen: texts.path }} onChoose={(path) => form.change('path', path)} />
      )}
      <fieldset class="group" aria-label={say.title}>
        {wireFieldsFor(texts).map((field) => (
          <WireInput
            key={field}
            {...{ field, texts, problems }}
            onText={(text) => form.change(field, text)}
          />
        ))}
      </fieldset>
      <p class="form-refused" role="alert">
        {said?.isRefusal ? said.text : null}
      </p>
      <div class="buttons">
        <button type="submit" class="plain">
          {say.use}
        </button>
        {hasPort && (
          <button
            type="button"
            class="plain"
            disabled={texts.path.trim() === '' || probed === 'listening'}
            onClick={() => void form.listen()}
          >
            {probed === 'listening' ? say.listening : say.listen}
          </button>
        )}
      </div>
      {probed !== null && probed !== 'listening' && (
        <Heard probed={probed} onTake={() => probed.wire && form.take(probed.wire)} />
      )}
      <p role="status" class="step-state">
        {said && !said.isRefusal ? said.text : null}
      </p>
    </form>
  )
}

/** Where the lines come from, how they are, and what to do when they are not. */
export function WireStep({ state }: { state: StationState }) {
  const wire = useAnswer('wire', api.wire)
  const ports = useAnswer('ports', api.ports)
  const { reason, hint, source, state: now } = state.link
  return (
    <>
      <p class="step-state">
        {say.now}: {source}, {say.states[now]}. {reason} {hint}
      </p>
      {wire.problem && <p class="form-refused">{wire.problem}</p>}
      {wire.value && ports.value && <WireForm first={wire.value} ports={ports.value} />}
    </>
  )
}
