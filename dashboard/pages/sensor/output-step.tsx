import { useState } from 'preact/hooks'
import type { StationState } from '../../../server/messages/live.ts'
import { armedHere, armOutput, disarmOutput, outputProblem } from '../../live/output-lease.ts'
import { Tick } from '../../widgets/tick.tsx'
import { words } from '../../words/en.ts'

const { sensor: say } = words
const OUTPUTS = ['buzzer', 'lamp', 'relay'] as const

function Caution({ read, onRead }: { read: boolean; onRead: (read: boolean) => void }) {
  return (
    <div class="cautions">
      <ul>
        {say.output.cautions.map((sentence) => (
          <li key={sentence}>{sentence}</li>
        ))}
      </ul>
      <Tick text={say.output.understood} isOn={read} onTick={onRead} />
    </div>
  )
}

/** Arms an output of the board, for this session and with the caution read; never by itself. */
export function OutputStep({ state }: { state: StationState }) {
  const [read, setRead] = useState(false)
  const { armed, follows, isOn, trouble } = state.output
  const isHere = armedHere.value !== null
  return (
    <>
      {armed === null && <Caution read={read} onRead={setRead} />}
      <div class="buttons">
        {OUTPUTS.map((output) => (
          <button
            type="button"
            class="plain"
            key={output}
            aria-pressed={armed === output && follows === 'stop-cue'}
            disabled={armed === null && !read}
            onClick={() => void armOutput(output)}
          >
            {say.output.arm(say.output.names[output])}
          </button>
        ))}
        <button
          type="button"
          class="plain"
          aria-pressed={follows === 'chain'}
          disabled={armed === null && !read}
          onClick={() => void armOutput('relay', 'chain')}
        >
          {say.output.armForChain}
        </button>
        <button
          type="button"
          class="plain"
          disabled={armed === null}
          onClick={() => void disarmOutput()}
        >
          {say.output.disarm}
        </button>
      </div>
      <p role="status" class="step-state">
        {armed === null
          ? say.output.off
          : say.output.isArmed(say.output.names[armed], isOn, isHere, follows === 'chain')}
      </p>
      <p class="form-refused" role="alert">
        {outputProblem.value ?? trouble}
      </p>
    </>
  )
}
