import { settings } from '../../live/settings.ts'
import { ChoiceField, TextField } from '../../widgets/field.tsx'
import { words } from '../../words/en.ts'
import { degrees } from '../../words/format.ts'
import type { Field, Problems, Texts } from './fields.ts'
import { classOf, classToleranceDeg, type PlanField } from './plan-fields.ts'

const { plan: say, setup } = words

interface PlanProps {
  readonly texts: Texts
  readonly problems: Problems
  onText(field: Field, text: string): void
}

const choicesOf = (named: Readonly<Record<string, string>>) =>
  Object.entries(named).map(([key, name]) => ({ key, name }))

const makeCommon =
  ({ texts, problems, onText }: PlanProps) =>
  (field: PlanField | 'tolerance') => ({
    id: field,
    value: texts[field],
    problem: problems[field],
    onText: (text: string) => onText(field, text),
  })

/** The tolerance: typed, or of a class by the length of the shorter leg. */
export function ToleranceChoice(props: PlanProps) {
  const common = makeCommon(props)
  const classDeg = classToleranceDeg(props.texts, settings.unit.value)
  const legHelp = classDeg === null ? say.legHelp : say.toleranceIs(degrees(classDeg, 2))
  return (
    <>
      <ChoiceField
        {...common('toleranceFrom')}
        label={say.toleranceFrom}
        choices={choicesOf({ '': say.own, ...say.classes })}
      />
      {classOf(props.texts) === null ? (
        <TextField {...common('tolerance')} label={setup.tolerance} numeric />
      ) : (
        <TextField {...common('leg')} label={say.leg} help={legHelp} numeric />
      )}
    </>
  )
}

/** Which pieces are measured by hand. */
export function PlanChoice(props: PlanProps) {
  const common = makeCommon(props)
  return (
    <>
      <ChoiceField {...common('plan')} label={say.measured} choices={choicesOf(say.plans)} />
      {props.texts.plan !== '' && (
        <>
          <TextField
            {...common('everyNth')}
            {...{ label: say.everyNth, help: say.everyNthHelp, numeric: true }}
          />
          <TextField
            {...common('lastPiece')}
            {...{ label: say.lastPiece, help: say.lastPieceHelp, numeric: true }}
          />
        </>
      )}
    </>
  )
}
