import { useState } from 'preact/hooks'
import type {
  CalibrationFit,
  CalibrationPoint,
  ReadoutState,
} from '../../../server/messages/readout.ts'
import { api, sentenceOf } from '../../live/api.ts'
import { useWho } from '../../live/use-who.ts'
import { nameOf, type Who } from '../../live/who.ts'
import { TextField } from '../../widgets/field.tsx'
import { WhoField } from '../../widgets/who-field.tsx'
import { words } from '../../words/en.ts'
import { degrees, moment, signedDegrees } from '../../words/format.ts'
import { parseNumber } from '../../words/parse-length.ts'
import { LiveAngle } from './live-angle.tsx'

const { scale: say } = words.sensor

const FIELDS = [
  ...(['who', 'gauge', 'certificate', 'due', 'doubt'] as const),
  ...(['temperature', 'tolerance', 'known'] as const),
]
type Field = (typeof FIELDS)[number]
const EMPTY: Record<Field, string> = {
  who: '',
  gauge: '',
  certificate: '',
  due: '',
  temperature: '',
  doubt: '0.1',
  tolerance: '0.5',
  known: '',
}
/** The points that stand in a table; a shop has patience for a dozen. */
const POINTS_SHOWN_MAX = 100

/** Left empty it is not told; what is no number is refused, by its name. */
const temperatureIn = (text: string) =>
  text.trim() === '' ? {} : { temperatureC: parseNumber(text) ?? Number.NaN }

function PointTable(props: {
  points: readonly CalibrationPoint[]
  fit: CalibrationFit | null
  onDrop: (index: number) => void
}) {
  const { points, fit, onDrop } = props
  return (
    <table class="counters" aria-label={say.title}>
      <thead>
        <tr>
          <th scope="col">{say.point}</th>
          <th scope="col">{say.known}</th>
          <th scope="col">{say.readout}</th>
          <th scope="col">{say.residual}</th>
          <td />
        </tr>
      </thead>
      <tbody>
        {points.slice(0, POINTS_SHOWN_MAX).map((point, index) => (
          <tr key={`${point.knownDeg} ${point.readoutDeg}`}>
            <th scope="row">{index + 1}</th>
            <td>{degrees(point.knownDeg, 2)}</td>
            <td>{degrees(point.readoutDeg, 2)}</td>
            <td>{fit?.points[index] ? signedDegrees(fit.points[index].residualDeg, 2) : ''}</td>
            <td>
              <button type="button" class="plain" onClick={() => onDrop(index)}>
                {say.drop}
              </button>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

function useCalibration(acts: Who, renew: () => void) {
  const [texts, setTexts] = useState(EMPTY)
  const [points, setPoints] = useState<readonly CalibrationPoint[]>([])
  const [fit, setFit] = useState<CalibrationFit | null>(null)
  const [problem, setProblem] = useState<string | null>(null)

  const askFor = (some: readonly CalibrationPoint[]) => ({
    who: nameOf(acts, texts.who),
    gauge: {
      ...{ name: texts.gauge.trim(), certificate: texts.certificate.trim() },
      ...(texts.due.trim() !== '' && { dueOn: texts.due.trim() }),
    },
    ...temperatureIn(texts.temperature),
    toleranceDeg: parseNumber(texts.tolerance) ?? Number.NaN,
    points: [...some],
  })

  async function attempt(work: () => Promise<void>): Promise<void> {
    try {
      await work()
      setProblem(null)
    } catch (error) {
      setProblem(sentenceOf(error))
    }
  }

  /** With too few points there is no curve yet, which is no fault worth a sentence. */
  async function use(some: readonly CalibrationPoint[]): Promise<void> {
    setPoints(some)
    setFit(null)
    if (some.length >= 2) setFit(await api.tryCalibration(askFor(some)))
  }

  const take = () =>
    attempt(async () => {
      const knownDeg = parseNumber(texts.known)
      const doubtDeg = parseNumber(texts.doubt)
      if (knownDeg === null || doubtDeg === null) throw new Error(say.needNumbers)
      const { readoutDeg, readoutSdDeg } = await api.captureReadout()
      const point = { readoutDeg, readoutSdDeg, knownDeg, standardDeg: doubtDeg / 2 }
      setTexts((before) => ({ ...before, known: '' }))
      await use([...points, point])
    })

  const drop = (index: number) => attempt(() => use(points.filter((_, place) => place !== index)))

  const save = () =>
    attempt(async () => {
      await api.calibrate(askFor(points))
      setPoints([])
      setFit(null)
      renew()
    })

  const change = (field: Field, text: string) =>
    setTexts((before) => ({ ...before, [field]: text }))
  return { texts, points, fit, problem, take, drop, save, change }
}

/** Known angles, one by one, to a numbered calibration that is never edited. */
export function ScaleStep({ readout, renew }: { readout: ReadoutState; renew: () => void }) {
  const acts = useWho()
  const { texts, points, fit, problem, take, drop, save, change } = useCalibration(acts, renew)
  const { calibration } = readout
  const field = (name: Field, help = '', numeric = false) => (
    <TextField
      id={`scale-${name}`}
      label={say[name]}
      help={help}
      numeric={numeric}
      value={texts[name]}
      onText={(text) => change(name, text)}
    />
  )
  return (
    <>
      <p class="step-state">
        {calibration === null
          ? say.none
          : say.inForce(
              calibration.id,
              moment(calibration.at).slice(0, 16),
              calibration.who,
              calibration.gauge.name,
            )}
        {calibration?.asFound && (
          <> {say.asFound(signedDegrees(calibration.asFound.worstDeg, 2))}</>
        )}
      </p>
      <p>{say.about}</p>
      <fieldset class="group" aria-label={say.title}>
        <WhoField
          who={acts}
          id="scale-who"
          label={say.who}
          value={texts.who}
          onText={(text) => change('who', text)}
        />
        {field('gauge')}
        {field('certificate')}
        {field('due', say.dueHelp)}
        {field('doubt', say.doubtHelp, true)}
        {field('temperature', say.temperatureHelp, true)}
        {field('tolerance', '', true)}
        {field('known', '', true)}
      </fieldset>
      <LiveAngle label={words.digits.label} />
      <div class="buttons">
        <button type="button" class="plain" onClick={() => void take()}>
          {say.take}
        </button>
        <button type="button" class="plain" disabled={fit === null} onClick={() => void save()}>
          {say.save}
        </button>
      </div>
      {points.length > 0 && (
        <PointTable points={points} fit={fit} onDrop={(index) => void drop(index)} />
      )}
      {fit && (
        <p class="step-state" role="status">
          {say.fit(
            degrees(fit.spanDeg),
            fit.leaveOneOutDeg === null ? say.notKnown : degrees(fit.leaveOneOutDeg, 2),
          )}
        </p>
      )}
      <p class="form-refused" role="alert">
        {problem}
      </p>
    </>
  )
}
