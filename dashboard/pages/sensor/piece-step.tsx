import { useState } from 'preact/hooks'
import type { ReadoutState, ReferencePiece } from '../../../server/messages/readout.ts'
import { api, sentenceOf } from '../../live/api.ts'
import { useWho } from '../../live/use-who.ts'
import { nameOf } from '../../live/who.ts'
import { TextField } from '../../widgets/field.tsx'
import { WhoField } from '../../widgets/who-field.tsx'
import { words } from '../../words/en.ts'
import { degrees, moment, signedDegrees } from '../../words/format.ts'
import { parseNumber } from '../../words/parse-length.ts'
import { CheckChart } from './check-chart.tsx'
import { SinceGood } from './since-good.tsx'

const { piece: say, scale } = words.sensor

const FIELDS = ['name', 'known', 'doubt', 'limit', 'days', 'gauge'] as const
type Field = (typeof FIELDS)[number]
const EMPTY: Record<Field, string> = {
  name: '',
  known: '',
  doubt: '0.1',
  limit: '0.3',
  days: '7',
  gauge: '',
}
const LABELS: Readonly<Record<Field, string>> = { ...say, gauge: scale.gauge }

function askOf(texts: Record<Field, string>, who: string) {
  const [known, doubt, limit] = [texts.known, texts.doubt, texts.limit].map(parseNumber)
  if (known == null || doubt == null || limit == null) throw new Error(scale.needNumbers)
  const days = texts.days.trim()
  return {
    who,
    name: texts.name.trim(),
    knownDeg: known,
    standardDeg: doubt / 2,
    gauge: { name: texts.gauge.trim(), certificate: '' },
    limitDeg: limit,
    everyDays: days === '' ? null : Number(days),
  }
}

function PieceForm({ who, renew }: { who: string; renew: () => void }) {
  const [texts, setTexts] = useState(EMPTY)
  const [problem, setProblem] = useState<string | null>(null)
  async function record(): Promise<void> {
    try {
      await api.addPiece(askOf(texts, who))
      setProblem(null)
      setTexts(EMPTY)
      renew()
    } catch (error) {
      setProblem(sentenceOf(error))
    }
  }
  return (
    <details>
      <summary>{say.newPiece}</summary>
      <fieldset class="group" aria-label={say.title}>
        {FIELDS.map((field) => (
          <TextField
            key={field}
            id={`piece-${field}`}
            label={LABELS[field]}
            help={field === 'days' ? say.daysHelp : ''}
            numeric={field !== 'name' && field !== 'gauge'}
            value={texts[field]}
            onText={(text) => setTexts((before) => ({ ...before, [field]: text }))}
          />
        ))}
      </fieldset>
      <button type="button" class="plain" onClick={() => void record()}>
        {say.record}
      </button>
      <p class="form-refused" role="alert">
        {problem}
      </p>
    </details>
  )
}

function Standing({ readout }: { readout: ReadoutState }) {
  const { piece, check, why } = readout
  if (piece === null) return <p class="step-state">{say.none}</p>
  return (
    <p class="step-state" role="status">
      {piece.name}, {degrees(piece.knownDeg, 2)}.{' '}
      {check === null
        ? say.never
        : say.last(
            moment(check.at).slice(0, 16),
            signedDegrees(check.differenceDeg, 2),
            check.passed,
          )}{' '}
      {why}
    </p>
  )
}

function CheckNow(props: { piece: ReferencePiece; who: string; renew: () => void }) {
  const [problem, setProblem] = useState<string | null>(null)
  const [checks, setChecks] = useState(0)
  async function check(): Promise<void> {
    try {
      await api.checkReadout({ who: props.who, piece: props.piece.id })
      setProblem(null)
      setChecks((before) => before + 1)
      props.renew()
    } catch (error) {
      setProblem(sentenceOf(error))
    }
  }
  return (
    <>
      <div class="buttons">
        <button type="button" class="plain" onClick={() => void check()}>
          {say.check}
        </button>
      </div>
      <p class="form-refused" role="alert">
        {problem}
      </p>
      <CheckChart piece={props.piece.id} asOf={checks} />
    </>
  )
}

/** A kept bend of known angle: recorded once, held against the readout again and again. */
export function PieceStep({ readout, renew }: { readout: ReadoutState; renew: () => void }) {
  const acts = useWho()
  const [typed, setTyped] = useState('')
  const who = nameOf(acts, typed)
  const { piece } = readout
  return (
    <>
      <p>{say.about}</p>
      <Standing readout={readout} />
      <fieldset class="group" aria-label={say.title}>
        <WhoField who={acts} id="piece-who" label={scale.who} value={typed} onText={setTyped} />
      </fieldset>
      {readout.check && readout.doubt && (
        <SinceGood station={readout.check.station} doubt={readout.doubt} />
      )}
      {piece && <CheckNow {...{ piece, who, renew }} />}
      <PieceForm {...{ who, renew }} />
    </>
  )
}
