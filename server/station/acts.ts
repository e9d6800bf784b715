import { LEAST_SHARE } from '../bend/cycle-hidden.ts'
import type { HostLine } from '../bend/host-line.ts'
import type { OperatorAct } from '../messages/commands.ts'
import type { Phase, Result } from '../messages/live.ts'
import { Refused } from '../web/station-door.ts'
import { ABANDONED } from './record.ts'

/** What decides whether the moment allows an act. */
export interface Moment {
  readonly phase: Phase
  readonly result: Result | null
  readonly hasSetup: boolean
  readonly hasJob: boolean
  readonly hasSignal: boolean
  /** With the act `check`: what the angle finder shows. */
  readonly checkedDeg?: number | undefined
}

const refuse = (sentence: string) => new Refused('not-now', sentence)

const UNDER_LOAD: readonly Phase[] = ['bending', 'held', 'letting-off']

/** What the pedal means now; null when it means nothing: the foot was too early, and nothing is lost. */
export function pedalAct({ phase, result }: Moment): Exclude<OperatorAct['act'], 'pedal'> | null {
  if (phase === 'no-datum' || phase === 'seated') return 'datum'
  if (phase !== 'settled') return null
  return result?.againDeg != null ? 'again' : 'accept'
}

function datum({ phase, hasSetup, hasJob, hasSignal }: Moment): HostLine {
  if (!hasSetup || !hasJob)
    throw refuse('Choose the set-up and what to bend first: nothing can be recorded without them.')
  if (!hasSignal) throw refuse('No degrees are arriving, so there is nothing to call zero.')
  if (UNDER_LOAD.includes(phase))
    throw refuse('The tube is under load: let it off, then accept or abandon this bend.')
  return { act: 'datum' }
}

function accept({ phase }: Moment): HostLine {
  if (phase === 'settled') return { act: 'close', reason: 'accepted' }
  if (UNDER_LOAD.includes(phase))
    throw refuse('Let the tube off first: the angle that stays is not measured yet.')
  throw refuse('There is no bend to accept: set the datum and bend first.')
}

function abandon({ phase }: Moment): HostLine {
  if (phase === 'no-datum') throw refuse('There is no bend to abandon.')
  return { act: 'close', reason: ABANDONED }
}

function touch({ phase, result }: Moment): HostLine {
  if (phase !== 'settled') throw refuse('There is no tube to touch: bend it and let it off first.')
  if (result?.go.releasedFrom !== 'unknown')
    throw refuse('Where the tube stands is known already: there is no need to touch it.')
  return { act: 'touch' }
}

function check({ phase, result, checkedDeg }: Moment): HostLine {
  if (checkedDeg === undefined)
    throw new Refused('bad-input', 'checkedDeg is missing.', 'checkedDeg')
  if (phase !== 'settled' || result === null)
    throw refuse('There is no bend to check: bend the tube and let it off first.')
  const { peakDeg } = result.go
  if (!(checkedDeg < peakDeg && checkedDeg > LEAST_SHARE * peakDeg))
    throw new Refused(
      'bad-input',
      `A tube taken to ${peakDeg.toFixed(1)}° does not stand at ${checkedDeg}°: look at the angle finder again.`,
      'checkedDeg',
    )
  return { act: 'checked', checkedDeg }
}

/**
 * Whether a touch told where the tube stands; it does not when the arm was elsewhere.
 * @throws Refused with one sentence when it did not.
 */
export function confirm(act: OperatorAct['act'], result: Result | null): void {
  if (act !== 'touch' || result?.go.releasedFrom !== 'unknown') return
  throw refuse(
    'No tube stands where the arm is: bring it back until it touches, or check the angle.',
  )
}

/**
 * The line an act sends into the chain; null for one that changes nothing there.
 * @throws Refused with one sentence when the moment does not allow it.
 */
export function lineFor(act: OperatorAct['act'], moment: Moment): HostLine | null {
  switch (act) {
    case 'datum':
      return datum(moment)
    case 'accept':
      return accept(moment)
    case 'abandon':
      return abandon(moment)
    case 'again':
      if (moment.phase === 'settled' && moment.result?.againDeg != null) return null
      throw refuse('There is nothing to go again for: no bend stands under its wanted angle.')
    case 'touch':
      return touch(moment)
    case 'check':
      return check(moment)
    case 'pedal': {
      const meant = pedalAct(moment)
      return meant === null ? null : lineFor(meant, moment)
    }
  }
}

/** A pedal pressed at the wrong moment is no error: the page shows what is wanted. */
export function ifAllowed(act: () => void): void {
  try {
    act()
  } catch (error) {
    if (!(error instanceof Refused)) throw error
  }
}

/** @throws Refused `not-now` while a bend is in hand. */
export function refuseInMidBend(desk: { isOpen(): boolean }, what: string): void {
  if (!desk.isOpen()) return
  throw new Refused('not-now', `${what} cannot change in mid-bend: accept or abandon it first.`)
}
