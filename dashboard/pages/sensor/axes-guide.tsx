import { useState } from 'preact/hooks'
import type { Axes } from '../../../server/messages/readout.ts'
import type { SignedAxis } from '../../../server/messages/sensor.ts'
import { api, sentenceOf } from '../../live/api.ts'
import { useRepeated } from '../../live/use-repeated.ts'
import { useWho } from '../../live/use-who.ts'
import { nameOf } from '../../live/who.ts'
import { WhoField } from '../../widgets/who-field.tsx'
import { words } from '../../words/en.ts'
import { fixed } from '../../words/format.ts'
import { SidePicture } from './side-picture.tsx'
import { isSquare, isStill, type Look, lastSecond, SIDES, stanceOf } from './six-sides.ts'

const { axes: say } = words.sensor

/** Often enough to see the numbers settle, and for five looks in the second that must be still. */
const LOOK_EVERY_MS = 200

type Taken = Readonly<Partial<Record<SignedAxis, Axes>>>

/** What the axes showed of late; none while the daemon refuses, with its sentence. */
function useLooks() {
  const [seen, setSeen] = useState<{ looks: readonly Look[]; problem: string | null }>({
    looks: [],
    problem: null,
  })
  useRepeated(async () => {
    try {
      const look = { axes: await api.captureAxes(), atMs: performance.now() }
      setSeen(({ looks }) => ({ looks: lastSecond([...looks, look]), problem: null }))
    } catch (error) {
      setSeen({ looks: [], problem: sentenceOf(error) })
    }
  }, LOOK_EVERY_MS)
  return seen
}

function Digits({ axes }: { axes: Axes | undefined }) {
  return (
    <dl class="axes-digits">
      {(['x', 'y', 'z'] as const).map((axis) => (
        <div key={axis}>
          <dt>{axis}</dt>
          <dd>{axes ? `${fixed(axes[`${axis}G`], 3)} g` : words.facts.none}</dd>
        </div>
      ))}
    </dl>
  )
}

/** The six, with what is done and what comes next. */
function Sides({ taken, next }: { taken: Taken; next: SignedAxis | null }) {
  const standOf = (side: SignedAxis) => {
    if (taken[side]) return 'taken'
    return side === next ? 'next' : 'open'
  }
  return (
    <ol class="sides">
      {SIDES.map((side) => (
        <li key={side} data-stand={standOf(side)}>
          <SidePicture side={side} />
          <span>{say.up[side]}</span>
          <span>{say.stands[standOf(side)]}</span>
        </li>
      ))}
    </ol>
  )
}

interface Now {
  /** The side that may be taken now; null: none, and `text` says why. */
  readonly side: SignedAxis | null
  readonly text: string
}

/** What the looks allow at this moment. */
function nowOf(looks: readonly Look[], isLive: boolean, taken: Taken): Now {
  const axes = looks.at(-1)?.axes
  if (!(axes && isLive)) return { side: null, text: say.waiting }
  const stance = stanceOf(axes)
  const name = say.up[stance.side]
  if (!isSquare(stance)) return { side: null, text: say.askew }
  if (!isStill(looks)) return { side: null, text: say.moves(name) }
  return { side: stance.side, text: taken[stance.side] ? say.isTaken(name) : say.still(name) }
}

function useGuide(isLive: boolean) {
  const { looks, problem } = useLooks()
  const [taken, setTaken] = useState<Taken>({})
  const axes = looks.at(-1)?.axes
  return {
    ...{ axes, taken, problem },
    now: nowOf(looks, isLive, taken),
    next: SIDES.find((side) => taken[side] === undefined) ?? null,
    take: (side: SignedAxis) => axes && setTaken((before) => ({ ...before, [side]: axes })),
  }
}

function useEntry(onEntered: () => void) {
  const acts = useWho()
  const [who, setWho] = useState('')
  const [refusal, setRefusal] = useState<string | null>(null)
  async function enter(taken: Taken): Promise<void> {
    const positions = SIDES.flatMap((side) => taken[side] ?? [])
    try {
      await api.calibrateAxes({ who: nameOf(acts, who), positions })
      onEntered()
    } catch (error) {
      setRefusal(sentenceOf(error))
    }
  }
  return { acts, who, setWho, refusal, enter }
}

/** Leads through the six sides: which way up, when it is still enough, and what has been taken. */
export function AxesGuide(props: { isLive: boolean; onEnd: (isEntered: boolean) => void }) {
  const { axes, taken, problem, now, next, take } = useGuide(props.isLive)
  const { acts, who, setWho, refusal, enter } = useEntry(() => props.onEnd(true))
  const { side } = now
  return (
    <>
      <p>{say.how}</p>
      <div class="axes-guide">
        <SidePicture side={next ?? side ?? SIDES[0]} />
        <div>
          <p class="axes-next">
            {next === null ? say.allTaken : say.next(SIDES.indexOf(next) + 1, say.up[next])}
          </p>
          <Digits axes={axes} />
          <p class="step-state" role="status">
            {problem === null ? now.text : ''}
          </p>
          <button
            type="button"
            class="plain axes-take"
            aria-disabled={side === null}
            onClick={() => side && take(side)}
          >
            {say.take(side && say.up[side])}
          </button>
        </div>
      </div>
      <Sides {...{ taken, next }} />
      <fieldset class="group" aria-label={say.title}>
        <WhoField
          who={acts}
          id="axes-who"
          label={words.sensor.scale.who}
          value={who}
          onText={setWho}
        />
      </fieldset>
      <div class="buttons">
        <button
          type="button"
          class="plain"
          disabled={next !== null}
          onClick={() => void enter(taken)}
        >
          {say.save}
        </button>
        <button type="button" class="plain" onClick={() => props.onEnd(false)}>
          {say.giveUp}
        </button>
      </div>
      <p class="form-refused" role="alert">
        {refusal ?? problem}
      </p>
    </>
  )
}
