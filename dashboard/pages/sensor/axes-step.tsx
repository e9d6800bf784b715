import { useState } from 'preact/hooks'
import type { Phase } from '../../../server/messages/live.ts'
import type { ReadoutState, SixPositions } from '../../../server/messages/readout.ts'
import { words } from '../../words/en.ts'
import { fixed, moment } from '../../words/format.ts'
import { AxesGuide } from './axes-guide.tsx'
import { leftOver } from './six-sides.ts'

const { axes: say } = words.sensor
const MG = 1000

function Found({ entry }: { entry: SixPositions }) {
  const { offG, leanDeg } = leftOver(entry)
  return (
    <>
      <table class="counters axes-found" aria-label={say.title}>
        <thead>
          <tr>
            <th scope="col">{say.axis}</th>
            <th scope="col">{say.offset}</th>
            <th scope="col">{say.gain}</th>
          </tr>
        </thead>
        <tbody>
          {(['x', 'y', 'z'] as const).map((axis) => (
            <tr key={axis}>
              <th scope="row">{axis}</th>
              <td>{fixed(MG * entry[axis].offsetG, 1)} mg</td>
              <td>{fixed(entry[axis].unitG, 4)} g</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p>{say.leftOver(fixed(MG * offG, 1), fixed(leanDeg, 1))}</p>
    </>
  )
}

interface AxesStepProps {
  readonly readout: ReadoutState
  readonly phase: Phase
  readonly isLive: boolean
  readonly renew: () => void
}

/** Offset and gain of an accelerometer's axes, from its six sides: a numbered entry that is never edited. */
export function AxesStep({ readout: { axes, calibration }, phase, isLive, renew }: AxesStepProps) {
  const [isOpen, setIsOpen] = useState(false)
  if (isOpen)
    return (
      <AxesGuide
        isLive={isLive}
        onEnd={(isEntered) => {
          setIsOpen(false)
          if (isEntered) renew()
        }}
      />
    )
  return (
    <>
      <p class="step-state" role="status">
        {axes === null ? say.none : say.inForce(axes.id, moment(axes.at).slice(0, 16), axes.who)}
      </p>
      {axes !== null && <Found entry={axes} />}
      {axes !== null && calibration === null && <p>{say.thenAngles}</p>}
      <p>{phase === 'no-datum' ? say.about : say.datumFirst}</p>
      <div class="buttons">
        <button
          type="button"
          class="plain"
          disabled={phase !== 'no-datum'}
          onClick={() => setIsOpen(true)}
        >
          {say.begin}
        </button>
      </div>
    </>
  )
}
