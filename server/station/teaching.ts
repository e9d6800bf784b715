import { Refused, type TeachingDoor } from '../web/station-door.ts'

export interface TeachingParts {
  isOpen(): boolean
  /** Everything that bends have taught is to be made anew. */
  retaught(): void
}

/** What a bender's model was taught, seen from outside: it changes between two bends only. */
export const makeTeaching = ({ isOpen, retaught }: TeachingParts): TeachingDoor => ({
  demandPause() {
    if (isOpen())
      throw new Refused(
        'not-now',
        'What bends teach cannot change in mid-bend: accept or abandon it first.',
      )
  },
  retaught,
})
