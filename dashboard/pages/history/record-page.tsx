import { useMemo, useState } from 'preact/hooks'
import type { Bend } from '../../../server/messages/bends.ts'
import { api } from '../../live/api.ts'
import { settings } from '../../live/settings.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { useSession } from '../../live/use-session.ts'
import { useToLook } from '../../live/use-to-look.ts'
import { FactSheet } from '../../widgets/fact-sheet.tsx'
import { FileLink, FileRefusal } from '../../widgets/file-link.tsx'
import { StillTrace } from '../../widgets/still-trace.tsx'
import { TraceKeys } from '../../widgets/trace-keys.tsx'
import { marksOfGoes, type TraceMarks, type TracePoints } from '../../widgets/trace-marks.ts'
import { Verdict } from '../../widgets/verdict.tsx'
import { words } from '../../words/en.ts'
import { checkWords } from '../../words/en-check.ts'
import { ActForm } from './act-form.tsx'
import { ActsList } from './acts-list.tsx'
import { Amended } from './amended.tsx'
import { Due } from './due.tsx'
import { GoesTable } from './goes-table.tsx'
import { inForceFacts, placeFacts, predictionFacts, resultFacts } from './record-facts.ts'

const { record: say } = words

const marksOf = (bend: Bend, points: TracePoints | null): TraceMarks => ({
  goes: marksOfGoes(bend.goes, points),
  wantedDeg: bend.wantedDeg,
  toleranceDeg: bend.toleranceDeg,
  commandedDeg: bend.commandedDeg,
})

function Trace({ bend }: { bend: Bend }) {
  const { value, problem } = useAnswer(`trace ${bend.id}`, () => api.trace(bend.id))
  const marks = useMemo(() => marksOf(bend, value), [bend, value])
  if (problem) return <p class="form-refused">{problem}</p>
  if (!value) return <p class="record-trace waiting">{say.traced}</p>
  if (value.tS.length === 0) return <p>{say.noTrace}</p>
  return (
    <>
      <StillTrace tS={value.tS} angleDeg={value.angleDeg} marks={marks} />
      <TraceKeys marks={marks} />
    </>
  )
}

function Record({ bend }: { bend: Bend }) {
  const [turn, setTurn] = useState(0)
  const { value: acts, problem } = useAnswer(`acts ${bend.id} ${turn}`, () => api.acts(bend.id))
  const { value: here } = useSession()
  const mayEnter = !useToLook() && acts && here
  const prediction = predictionFacts(bend)
  return (
    <>
      <div class="record-head">
        <h1>{say.title(bend.id)}</h1>
        <Verdict verdict={bend.verdict} />
      </div>
      {bend.simulated && <p class="record-simulated">{say.simulated}</p>}
      {problem && (
        <p class="form-refused" role="alert">
          {say.sinceUnknown} {problem}
        </p>
      )}
      {acts && <Amended bend={bend} acts={acts} />}
      {acts && <Due bend={bend} acts={acts} />}
      <h2>{say.result}</h2>
      <FactSheet facts={resultFacts(bend)} />
      <h2>{say.trace}</h2>
      <Trace bend={bend} />
      <h2>{say.goes}</h2>
      <GoesTable goes={bend.goes} />
      <h2>{say.inForce}</h2>
      <FactSheet facts={inForceFacts(bend, settings.unit.value)} />
      <h2>{say.model}</h2>
      {prediction.length > 0 ? <FactSheet facts={prediction} /> : <p>{say.noPrediction}</p>}
      {acts && <ActsList acts={acts} bend={bend} />}
      {mayEnter && <h2>{say.enter}</h2>}
      {mayEnter && (
        <ActForm bend={bend} acts={acts} here={here} onDone={() => setTurn((now) => now + 1)} />
      )}
      <h2>{say.place}</h2>
      <FactSheet facts={placeFacts(bend)} />
    </>
  )
}

const pieceOf = ({ part, piece }: Bend) => new URLSearchParams({ part, piece: String(piece) })

/** One bend: its result, its trace, everything that was in force, its place in the record. */
export function RecordPage({ bendId }: { bendId: number }) {
  const { value, problem } = useAnswer(`bend ${bendId}`, () => api.bend(bendId))
  // The key that signs is the shop's own.
  const maySign = !useToLook()
  return (
    <main class="desk record">
      <p class="record-links">
        <a class="plain" href="#/history">
          {words.history.back}
        </a>
        <a class="plain" href={api.rawAddress(bendId)}>
          {words.history.raw}
        </a>
        {value && (
          <FileLink name={checkWords.ofPiece} address={api.certificateAddress(pieceOf(value))} />
        )}
        {value && maySign && (
          <FileLink name={words.history.signed} address={api.signedAddress(pieceOf(value))} />
        )}
        <button type="button" class="plain" onClick={() => print()}>
          {words.history.print}
        </button>
      </p>
      <FileRefusal />
      {problem && (
        <p class="form-refused" role="alert">
          {problem}
        </p>
      )}
      {!value && !problem && <p role="status">{words.record.loading}</p>}
      {value && <Record bend={value} />}
    </main>
  )
}
