import { apart } from './format.ts'

const fields = {
  operator: 'Operator',
  part: 'Part',
  piece: 'Piece',
  bendNumber: 'Bend of the piece',
  lot: 'Lot',
  checkedDeg: 'Angle finder',
  gauge: 'Angle finder used',
  note: 'Note',
} as const

/** The texts of what people do about a recorded bend. */
export const trailWords = {
  title: 'Done since',
  number: (id: number) => `Act ${id}`,
  fields,
  isVoid: (who: string) =>
    `Void, declared by ${apart(who)}: it counts nowhere and teaches nothing.`,
  nothing: 'nothing',
  now: (text: string) => `Stands now: ${text}`,
  required: 'Fill this in.',
  meaning: 'I have looked at this record as it stands and vouch for it.',
  doings: {
    amendments: 'Amend',
    void: 'Declare void',
    reinstatement: 'Let it count again',
    signatures: 'Sign',
    notes: 'Write a note',
    inspections: 'Inspect',
    photos: 'Add a photo',
  },
  asks: {
    who: 'Your name',
    field: 'What was recorded wrongly',
    to: 'What it is to read; empty: nothing',
    reason: 'Why',
    role: 'As',
    meaning: 'What the signature says',
    text: 'Note',
    password: 'Your password, once more',
  },
  kinds: {
    teaching: 'Teaching',
    amendment: 'Amended',
    void: 'Declared void',
    reinstated: 'Counts again',
    signature: 'Signed',
    note: 'Note',
    inspection: 'Inspected',
    photo: 'Photo',
  },
  decisions: {
    'put-back': 'Put back: it teaches springback',
    'taken-out': 'Taken out: it teaches springback no more',
    'as-found': 'As found again: the other bends say whether it fits',
  },
  roles: { signed: 'Signed', 'counter-signed': 'Counter-signed' },
  knownBy: {
    typed: 'name typed, no proof of identity',
    'signed-in': 'signed in',
    password: 'by password',
  },
}
