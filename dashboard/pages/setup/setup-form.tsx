import type { Sensor } from '../../../server/messages/sensor.ts'
import { settings } from '../../live/settings.ts'
import { TextField } from '../../widgets/field.tsx'
import { words } from '../../words/en.ts'
import { Expected } from './expected.tsx'
import type { Field, Problems, Texts } from './fields.ts'
import { MaterialChoice, OwnMetal } from './material-group.tsx'
import { PlanChoice, ToleranceChoice } from './plan-group.tsx'

const { setup: say } = words

interface FormProps {
  readonly texts: Texts
  readonly problems: Problems
  /** What was refused and belongs to no one field. */
  readonly sentence: string | null
  readonly busy: boolean
  /** In force, or chosen before there was a set-up. */
  readonly sensor: Sensor
  onText(field: Field, text: string): void
  onFill(texts: Texts): void
  onSubmit(event: Event): void
}

function useFields({ texts, problems, onText }: FormProps) {
  const common = (field: Field) => ({
    id: field,
    value: texts[field],
    problem: problems[field],
    onText: (text: string) => onText(field, text),
  })
  const text = (field: Field, label: string, help?: string) => (
    <TextField {...common(field)} label={label} help={help} />
  )
  const number = (field: Field, label: string, help?: string) => (
    <TextField {...common(field)} label={label} help={help} numeric />
  )
  return { text, number }
}

function Units() {
  return (
    <fieldset class="units">
      <legend>{say.unit}</legend>
      {(['mm', 'in'] as const).map((unit) => (
        <label key={unit}>
          <input
            type="radio"
            name="unit"
            checked={settings.unit.value === unit}
            onChange={() => {
              settings.unit.value = unit
            }}
          />
          {unit}
        </label>
      ))}
      <span class="field-help">{say.unitHelp}</span>
    </fieldset>
  )
}

function OnTheBender({
  form,
  text,
}: { form: FormProps } & Pick<ReturnType<typeof useFields>, 'text'>) {
  return (
    <>
      <fieldset class="group">
        <legend>{say.die}</legend>
        {text('station', say.station, say.stationHelp)}
        {text('dieName', say.dieName)}
        {text('dieOd', say.dieOd)}
        {text('clr', say.clr)}
      </fieldset>
      <fieldset class="group">
        <legend>{say.tube}</legend>
        {text('od', say.od)}
        {text('wall', say.wall)}
        <MaterialChoice {...form} />
        {text('lot', say.lot)}
      </fieldset>
      <OwnMetal {...form} />
    </>
  )
}

/** Die, tube, sensor and job on one sheet; each problem beside its field. */
export function SetupForm(props: FormProps) {
  const { text, number } = useFields(props)
  return (
    <form class="form" noValidate onSubmit={props.onSubmit}>
      <Units />
      <OnTheBender form={props} text={text} />
      <p class="sensor-line">
        {say.sensor}: {words.sensor.mount.choices.mount[props.sensor.mount]},{' '}
        {say.countsOf(props.sensor.countsPerTurn)}. <a href="#/sensor">{say.changeSensor}</a>
      </p>
      <Expected texts={props.texts} unit={settings.unit.value} />
      <fieldset class="group">
        <legend>{say.job}</legend>
        {text('part', say.part)}
        {text('revision', say.revision, say.mayBeEmpty)}
        {number('piece', say.piece)}
        {number('bend', say.bend)}
        {number('wanted', say.wanted)}
        <ToleranceChoice {...props} />
        {text('operator', say.operator, say.operatorHelp)}
        {text('finder', say.finder, say.mayBeEmpty)}
        {number('costGo', say.costGo, say.costGoHelp)}
        {number('costTube', say.costTube, say.costTubeHelp)}
        <PlanChoice {...props} />
      </fieldset>
      <p class="form-refused" role="alert">
        {props.sentence}
      </p>
      <button type="submit" class="act act-next" disabled={props.busy}>
        {props.busy ? say.using : say.use}
      </button>
    </form>
  )
}
