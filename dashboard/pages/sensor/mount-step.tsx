import type { StationState } from '../../../server/messages/live.ts'
import { api } from '../../live/api.ts'
import { settings } from '../../live/settings.ts'
import { useForm } from '../../live/use-form.ts'
import { SubmitButton } from '../../widgets/submit-button.tsx'
import { words } from '../../words/en.ts'
import { LiveAngle } from './live-angle.tsx'
import { NamedFields } from './named-fields.tsx'
import {
  fieldsFor,
  readSensor,
  type SensorField,
  sensorFieldOf,
  sensorProblems,
  textsOfSensor,
} from './sensor-texts.ts'

const { mount: say } = words.sensor
const idOf = (field: SensorField) => `sensor-${field}`

/** The sensor in force, or the one this screen was told of before there was a set-up. */
export const sensorInHand = (state: StationState) =>
  state.setup?.setup.sensor ?? settings.sensor.value

/** Where the sensor sits and how it is read; then the die is turned by hand, and one watches. */
export function MountStep({ state }: { state: StationState }) {
  const form = useForm(() => textsOfSensor(sensorInHand(state)), {
    idOf,
    problemsOf: sensorProblems,
    fieldOf: sensorFieldOf,
    async send(texts) {
      const sensor = readSensor(texts)
      if (state.setup) await api.useSetup({ ...state.setup.setup, sensor })
      settings.sensor.value = sensor
      return state.setup ? say.inUse : say.kept
    },
  })
  const { texts, problems, change } = form
  return (
    <form class="step-form" noValidate onSubmit={form.onSubmit}>
      <p>{say.about[texts.mount as keyof typeof say.about]}</p>
      <NamedFields
        {...{ texts, problems, change, idOf }}
        label={say.title}
        shown={fieldsFor(texts)}
        lettered={[]}
        names={say.fields}
        choices={say.choices}
      />
      <p class="form-refused" role="alert">
        {form.refusal}
      </p>
      <SubmitButton name={say.use} isBusy={form.isBusy} />
      <p role="status" class="step-state">
        {form.done}
      </p>
      <LiveAngle label={say.turn} />
    </form>
  )
}
