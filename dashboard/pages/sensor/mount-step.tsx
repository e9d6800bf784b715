import { useState } from 'preact/hooks'
import type { StationState } from '../../../server/messages/live.ts'
import { ApiError, api, sentenceOf } from '../../live/api.ts'
import { settings } from '../../live/settings.ts'
import { NamedField } from '../../widgets/field.tsx'
import { words } from '../../words/en.ts'
import { LiveAngle } from './live-angle.tsx'
import {
  fieldsFor,
  readSensor,
  type SensorField,
  type SensorProblems,
  type SensorTexts,
  sensorFieldOf,
  sensorProblems,
  textsOfSensor,
} from './sensor-texts.ts'

const { sensor: say } = words
const { fields, choices } = say.mount

type ChoiceName = keyof typeof choices
const isChoice = (field: SensorField): field is SensorField & ChoiceName => field in choices

function SensorInput(props: {
  field: SensorField
  texts: SensorTexts
  problems: SensorProblems
  onText: (text: string) => void
}) {
  const { field, texts, problems, onText } = props
  const { name, help } = fields[field]
  const common = { id: `sensor-${field}`, label: name, help, problem: problems[field], onText }
  const named = isChoice(field) ? choices[field] : null
  return <NamedField {...common} {...{ value: texts[field], named }} numeric />
}

/** The sensor in force, or the one this screen was told of before there was a set-up. */
export const sensorInHand = (state: StationState) =>
  state.setup?.setup.sensor ?? settings.sensor.value

function useSensorForm(state: StationState) {
  const [texts, setTexts] = useState(() => textsOfSensor(sensorInHand(state)))
  const [problems, setProblems] = useState<SensorProblems>({})
  const [said, setSaid] = useState<{ text: string; isRefusal: boolean } | null>(null)

  async function send(): Promise<void> {
    const wrong = sensorProblems(texts)
    setProblems(wrong)
    setSaid(null)
    const [first] = Object.keys(wrong)
    if (first) return document.getElementById(`sensor-${first}`)?.focus()
    const sensor = readSensor(texts)
    try {
      if (state.setup) await api.useSetup({ ...state.setup.setup, sensor })
      settings.sensor.value = sensor
      setSaid({ text: state.setup ? say.mount.inUse : say.mount.kept, isRefusal: false })
    } catch (error) {
      const field = error instanceof ApiError ? sensorFieldOf(error.field) : null
      if (field) setProblems({ [field]: sentenceOf(error) })
      else setSaid({ text: sentenceOf(error), isRefusal: true })
    }
  }

  const change = (field: SensorField, text: string) =>
    setTexts((before) => ({ ...before, [field]: text }))
  return { texts, problems, said, send, change }
}

/** Where the sensor sits and how it is read; then the die is turned by hand, and one watches. */
export function MountStep({ state }: { state: StationState }) {
  const { texts, problems, said, send, change } = useSensorForm(state)
  return (
    <form
      class="step-form"
      noValidate
      onSubmit={(event) => {
        event.preventDefault()
        void send()
      }}
    >
      <p>{say.mount.about[texts.mount as keyof typeof say.mount.about]}</p>
      <fieldset class="group" aria-label={say.mount.title}>
        {fieldsFor(texts).map((field) => (
          <SensorInput
            key={field}
            {...{ field, texts, problems }}
            onText={(text) => change(field, text)}
          />
        ))}
      </fieldset>
      <p class="form-refused" role="alert">
        {said?.isRefusal ? said.text : null}
      </p>
      <button type="submit" class="plain">
        {say.mount.use}
      </button>
      <p role="status" class="step-state">
        {said && !said.isRefusal ? said.text : null}
      </p>
      <LiveAngle label={say.mount.turn} />
    </form>
  )
}
