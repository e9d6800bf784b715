import type { Deed } from '../certificate/certificate.ts'
import type { Amendable } from '../messages/act-kinds/amendment.ts'
import type { Act } from '../messages/acts.ts'
import type { Bend } from '../messages/bends.ts'
import { inspectionLine } from './inspection-line.ts'

const quoted = (text: string | null) => (text === null ? 'nothing' : `“${text}”`)

const FIELDS: Readonly<Record<Amendable, string>> = {
  operator: 'operator',
  part: 'part',
  piece: 'piece',
  bendNumber: 'number of the bend',
  lot: 'lot',
  checkedDeg: 'angle finder, degrees',
  gauge: 'which angle finder',
  note: 'note',
}

/** What an act says, by its kind. */
const WHAT: { readonly [K in Act['kind']]: (act: Act<K>, bend: Bend) => string } = {
  teaching: ({ decision, reason }) => `springback: ${decision}, ${quoted(reason)}`,
  amendment: ({ field, from, to, reason }) =>
    `amended: ${FIELDS[field]}, from ${quoted(from)} to ${quoted(to)}, ${quoted(reason)}`,
  void: ({ reason }) => `void, ${quoted(reason)}`,
  reinstated: ({ reason }) => `counts again, ${quoted(reason)}`,
  signature: ({ role, meaning }) => `${role}: ${quoted(meaning)}`,
  note: ({ text }) => `note: ${quoted(text)}`,
  inspection: inspectionLine,
  photo: ({ caption, sha256 }) => `photo: ${quoted(caption)}, SHA-256 ${sha256.slice(0, 16)}…`,
}

/** An act about a bend as one line of a certificate. */
export function deedOf(act: Act, bend: Bend): Deed {
  const what = WHAT[act.kind] as (act: Act, bend: Bend) => string
  const known = act.whoKnownBy === undefined || act.whoKnownBy === 'typed' ? ' (name typed)' : ''
  return { at: act.at, who: `${act.who}${known}`, what: what(act, bend) }
}
