import { type TSchema, Type } from 'typebox'
import { oneOf, strict } from '../messages/schema.ts'

/**
 * Every way in which the web refuses: stable code, HTTP status, and the sentence. `{what}` in a
 * sentence is filled in by whoever refuses; where the station or the history brings a sentence of
 * its own, the one here is what the documentation says of the code.
 */
export const ERRORS = {
  'bad-input': [400, 'A value is missing, misspelt or out of its range.'],
  'bad-json': [400, 'The body is not readable as JSON; send one JSON document.'],
  'chain-refused': [400, 'This chain cannot run here.'],
  'calibration-refused': [400, 'These points make no calibration.'],
  'notebook-refused': [400, 'This notebook cannot be imported.'],
  'bad-request': [400, 'The request could not be understood.'],
  'not-paired': [401, 'This device is not paired yet; enter the code that the daemon printed.'],
  'wrong-code': [401, 'That is not the pairing code; it is on the screen of the daemon.'],
  'not-signed-in': [401, 'Sign in first: people are enrolled here, and this is done by name.'],
  'wrong-password': [401, 'That name and that password do not belong together.'],
  'not-your-role': [403, 'That needs the role of {what}; ask somebody who has it.'],
  'own-machine-only': [403, 'The first administrator is enrolled on the daemon’s own machine.'],
  'only-to-look': [
    403,
    'This history is only looked at, so nothing can be entered; go to the shop’s own daemon.',
  ],
  'foreign-page': [403, 'Only pages of this daemon may do that; open the dashboard from it.'],
  'no-such-address': [404, 'There is nothing at {what}; see /api/openapi.json.'],
  'no-such-station': [404, 'There is no station {what}; see /api/stations.'],
  'no-such-bend': [404, 'There is no bend number {what} in the history.'],
  'empty-piece': [404, 'No bend stands on that piece; look at part and piece.'],
  'no-certificate': [404, 'There is nothing to make such a certificate of.'],
  'no-such-photo': [404, 'There is no photo {what}.'],
  'no-such-setup': [404, 'There is no set-up number {what}.'],
  'no-such-revision': [404, 'There is no revision number {what} of the chain.'],
  'no-such-piece': [404, 'This bender has no reference piece number {what}.'],
  'no-such-person': [404, 'Nobody here has the name {what}.'],
  'no-such-view': [404, 'There is no view {what}; somebody may have removed it.'],
  'no-dashboard': [404, 'The dashboard is not built; run npm run build and start again.'],
  'timed-out': [408, 'The request took too long to arrive; try again.'],
  'not-now': [409, 'The moment in the bend does not allow that.'],
  'no-setup': [409, 'Choose a set-up and a job first.'],
  'no-signal': [409, 'No steady degrees are arriving: look at the sensor and its wire.'],
  'not-still': [409, 'The readout does not stand still: hold the die, wait a second.'],
  'no-datum': [409, 'There is no zero to read from: seat the piece and set the datum first.'],
  'no-key': [
    409,
    'This history has no key to sign with; make one on its machine: overbend key --make.',
  ],
  'no-bench': [409, 'There is no built-in bench here: the lines come from a sensor.'],
  'teaches-nothing': [409, 'That bend cannot teach, or nothing was decided of it.'],
  'changed-since': [409, 'Somebody changed that meanwhile; look at it again.'],
  'nothing-to-do': [409, 'That is so already.'],
  'not-signable': [409, 'That bend cannot be signed so as it stands.'],
  'view-exists': [409, 'There is a view of that name already.'],
  'too-many-views': [409, 'There are {what} saved views, and no more are kept; remove one first.'],
  'people-refused': [409, 'That cannot be done with the people who are enrolled.'],
  'no-rerun': [409, 'Bend {what} cannot be run again by this version; its raw lines are kept.'],
  'no-pairing': [409, 'Nothing to pair: this daemon answers its own machine only.'],
  'too-large': [413, 'The body is larger than {what} bytes; nothing asked here is that long.'],
  'not-json': [415, 'Send the body as application/json.'],
  'wrong-host': [421, 'This daemon does not answer to that name; use the address it printed.'],
  'not-a-socket': [426, 'This address is a WebSocket; open it as one.'],
  'too-many-tries': [429, 'Too many wrong codes; try again in {what} s.'],
  'headers-too-large': [431, 'The headers of the request are too long.'],
  internal: [500, 'Something went wrong inside the daemon; its log says what.'],
  'storage-failed': [503, 'The history could not be read or written.'],
  'too-many-clients': [503, 'Already {what} pages are open; close one and try again.'],
  'storage-full': [507, 'The disk is full; make room in the data folder.'],
} as const satisfies Record<string, readonly [status: number, sentence: string]>

export type ErrorCode = keyof typeof ERRORS

export const isErrorCode = (code: unknown): code is ErrorCode =>
  typeof code === 'string' && Object.hasOwn(ERRORS, code)

export const statusOf = (code: ErrorCode): number => ERRORS[code][0]

/** The table's sentence for a code, with `what` filled in. */
export const sentenceOf = (code: ErrorCode, what: string | number = ''): string =>
  ERRORS[code][1].replace('{what}', () => String(what))

/** The refusal envelope as a schema that names which codes can come. */
export const refusalSchema = (codes: readonly ErrorCode[]): TSchema => ({
  ...strict({
    code: oneOf(codes),
    sentence: Type.String({ description: 'What is wrong, where, and what to do.' }),
    field: Type.Optional(Type.String({ description: 'Which value is at fault, if one is.' })),
  }),
  description: codes.map((code) => `\`${code}\`: ${ERRORS[code][1]}`).join('\n'),
})
