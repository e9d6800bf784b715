import { useState } from 'preact/hooks'
import type { StationState } from '../../../server/messages/live.ts'
import type { PortFound, Probed, Wire } from '../../../server/messages/wire.ts'
import { api } from '../../live/api.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { useForm } from '../../live/use-form.ts'
import { SubmitButton } from '../../widgets/submit-button.tsx'
import { words } from '../../words/en.ts'
import { NamedFields } from './named-fields.tsx'
import {
  readWire,
  textsOfWire,
  type WireField,
  wireFieldOf,
  wireFieldsFor,
  wireProblems,
} from './wire-texts.ts'

const { wire: say } = words.sensor
const idOf = (field: WireField) => `wire-${field}`

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
  const form = useForm(() => textsOfWire(first), {
    idOf,
    problemsOf: wireProblems,
    fieldOf: wireFieldOf,
    async send(texts) {
      await api.useWire(readWire(texts))
      return say.inUse
    },
  })
  const [probed, setProbed] = useState<Probed | 'listening' | null>(null)

  async function listen(): Promise<void> {
    setProbed('listening')
    form.hush()
    try {
      setProbed(await api.probe({ path: form.texts.path.trim() }))
    } catch (error) {
      setProbed(null)
      form.refuse(error)
    }
  }

  function take(wire: Wire): void {
    form.fill(textsOfWire(wire))
    setProbed(null)
  }
  return { ...form, probed, listen, take }
}

function WireForm({ first, ports }: { first: Wire; ports: readonly PortFound[] }) {
  const form = useWireForm(first)
  const { texts, problems, change, probed } = form
  const hasPort = texts.kind === 'serial' || texts.kind === 'modbus'
  return (
    <form class="step-form" noValidate onSubmit={form.onSubmit}>
      {hasPort && (
        <Ports {...{ ports, chosen: texts.path }} onChoose={(path) => change('path', path)} />
      )}
      <NamedFields
        {...{ texts, problems, change, idOf }}
        label={say.title}
        shown={wireFieldsFor(texts)}
        lettered={['path', 'host', 'name']}
        names={say.fields}
        choices={say.choices}
      />
      <p class="form-refused" role="alert">
        {form.refusal}
      </p>
      <div class="buttons">
        <SubmitButton name={say.use} isBusy={form.isBusy} />
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
        {form.done}
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
      <p class="step-state" data-wire={now}>
        {say.now}: {source}, {say.states[now]}. {reason} {hint}
      </p>
      {wire.problem && <p class="form-refused">{wire.problem}</p>}
      {wire.value && ports.value && <WireForm first={wire.value} ports={ports.value} />}
    </>
  )
}
