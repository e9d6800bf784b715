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
  nothing: 'nothing',
  becomes: 'is to read',
  instead: 'instead of',
  kinds: {
    teaching: 'Teaching',
    amendment: 'Amended',
    void: 'Declared void',
    reinstated: 'Counts again',
    signature: 'Signed',
    note: 'Note',
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
