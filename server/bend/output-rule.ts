import type { CueEvent } from './cycle-event.ts'

/**
 * Whether an armed output is to be on, for a stage of the stop cue.
 *
 * Buzzer and lamp call the stop: on from the stop until the load comes off. A relay works the other way
 * round, so that everything that fails lets it fall: on means that the cue has not called the stop, and
 * that all is well. It is no safety function either way.
 *
 * @param dropped the relay fell in this go: it stays down until the operator speaks again.
 */
export function outputIsOn(
  output: 'buzzer' | 'lamp' | 'relay',
  cue: CueEvent['cue'],
  dropped: boolean,
): boolean {
  const called = cue === 'stop' || cue === 'over'
  return output === 'relay' ? !called && !dropped : called
}
