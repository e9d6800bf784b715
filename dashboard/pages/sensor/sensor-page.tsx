import type { ComponentChildren } from 'preact'
import { useState } from 'preact/hooks'
import type { StationState } from '../../../server/messages/live.ts'
import type { ReadoutState } from '../../../server/messages/readout.ts'
import { api } from '../../live/api.ts'
import { useStation } from '../../live/context.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { Missing } from '../../widgets/missing.tsx'
import { words } from '../../words/en.ts'
import { AxesStep } from './axes-step.tsx'
import { Counters, RawLines } from './lines-step.tsx'
import { MountStep, sensorInHand } from './mount-step.tsx'
import { OutputStep } from './output-step.tsx'
import { PieceStep } from './piece-step.tsx'
import { ScaleStep } from './scale-step.tsx'
import { Step } from './step.tsx'
import { WireStep } from './wire-step.tsx'

const { sensor: say } = words

/** Whether there are three axes to be calibrated: the board says so, or it was done before. */
function hasAxes(state: StationState, readout: ReadoutState | null): boolean {
  const { mount } = sensorInHand(state)
  const isTilt = mount === 'swing-tilt' || mount === 'leg-tilt'
  return isTilt && (state.link.device?.sensor === 'accelerometer' || readout?.axes != null)
}

/** What only a set-up can have: a calibration and a reference piece are one sensor's own. */
function ReadoutSteps({ state }: { state: StationState }) {
  const hasSetup = state.setup !== null
  const [asked, setAsked] = useState(0)
  const { value, problem } = useAnswer(`readout ${asked} ${state.setup?.id}`, api.readout)
  const renew = () => setAsked((before) => before + 1)
  const show = (content: (readout: ReadoutState) => ComponentChildren) => {
    if (problem) return <p class="form-refused">{problem}</p>
    if (!hasSetup)
      return (
        <p>
          {say.setupFirst} <a href="#/setup">{words.setup.title}</a>
        </p>
      )
    return value && content(value)
  }
  return (
    <>
      {hasAxes(state, value) && (
        <Step {...say.axes} isDone={value?.axes != null}>
          {show((readout) => (
            <AxesStep
              {...{ readout, renew }}
              phase={state.phase}
              isLive={state.link.state === 'live'}
            />
          ))}
        </Step>
      )}
      <Step {...say.scale} isDone={value?.calibration != null}>
        {show((readout) => (
          <ScaleStep {...{ readout, renew }} />
        ))}
      </Step>
      <Step {...say.piece} isDone={value?.standing === 'good'}>
        {show((readout) => (
          <PieceStep {...{ readout, renew }} />
        ))}
      </Step>
    </>
  )
}

function Loaded({ state }: { state: StationState }) {
  const { link, setup, output } = state
  return (
    <main class="desk sensor">
      <h1>{say.title}</h1>
      <p class="desk-intro">{say.intro}</p>
      <Step {...say.wire} isDone={link.state === 'live'}>
        <WireStep state={state} />
      </Step>
      <Step {...say.lines} isDone={link.state === 'live'}>
        <RawLines />
        <Counters link={link} />
      </Step>
      <Step {...say.mount} isDone={setup !== null}>
        <MountStep state={state} />
      </Step>
      <ReadoutSteps state={state} />
      <Step {...say.output} isDone={output.armed !== null}>
        <OutputStep state={state} />
      </Step>
    </main>
  )
}

/** From the box to a trusted degree. */
export function SensorPage() {
  const state = useStation().state.value
  if (state) return <Loaded state={state} />
  return (
    <main class="desk">
      <Missing />
    </main>
  )
}
