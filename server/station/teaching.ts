import type { History } from '../history/history.ts'
import { isoWithOffset } from '../history/iso-time.ts'
import type { Clock } from '../link/link.ts'
import type { Act, TeachingAsk } from '../messages/acts.ts'
import type { Bend } from '../messages/bends.ts'
import { Refused, type TeachingDoor } from '../web/station-door.ts'

export interface TeachingParts {
  readonly history: Pick<History, 'addAct' | 'decisions'>
  readonly clock: Pick<Clock, 'wallMs'>
  readonly software: string
  isOpen(): boolean
  /** Everything that bends have taught is to be made anew. */
  retaught(): void
}

/** Whether a recorded bend is to teach is a person's to decide; the record itself never changes. */
export function makeTeaching(parts: TeachingParts): TeachingDoor {
  const { history, clock, software, isOpen, retaught } = parts

  function check({ id, learned, notLearnedWhy }: Bend, { decision }: TeachingAsk): void {
    if (isOpen())
      throw new Refused(
        'not-now',
        'What bends teach cannot change in mid-bend: accept or abandon it first.',
      )
    if (learned === 'no') {
      const why = notLearnedWhy ?? 'it was not to'
      throw new Refused('teaches-nothing', `Bend ${id} cannot teach: ${why}`, 'decision')
    }
    const isFound = !history
      .decisions()
      .some((last) => last.bendId === id && last.decision !== 'as-found')
    if (decision === 'as-found' && isFound)
      throw new Refused(
        'teaches-nothing',
        `Nobody put bend ${id} back or took it out, so there is nothing to undo.`,
        'decision',
      )
  }

  return {
    decide(bend: Bend, ask: TeachingAsk): Act {
      check(bend, ask)
      const act = history.addAct({
        kind: 'teaching',
        schema: 1,
        at: isoWithOffset(clock.wallMs()),
        ...ask,
        bendId: bend.id,
        software,
      })
      retaught()
      return act
    },
  }
}
