import type { StationState } from '../../../server/messages/live.ts'
import { useStation } from '../../live/context.ts'
import { Missing } from '../../widgets/missing.tsx'
import { words } from '../../words/en.ts'
import { Counters } from './lines-step.tsx'
import { MountStep } from './mount-step.tsx'
import { OutputStep } from './output-step.tsx'
import { Step } from './step.tsx'

const { sensor: say } = words

function Loaded({ state }: { state: StationState }) {
  const { link, setup, output } = state
  return (
    <main class="desk sensor">
      <h1>{say.title}</h1>
      <p class="desk-intro">{say.intro}</p>
      <Step number={1} {...say.lines} isDone={link.state === 'live'}>
        <Counters link={link} />
      </Step>
      <Step number={2} {...say.mount} isDone={setup !== null}>
        <MountStep state={state} />
      </Step>
      <Step number={3} {...say.output} isDone={output.armed !== null}>
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
