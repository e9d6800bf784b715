import type { PieceSigned } from '../../server/messages/piece.ts'

const listed = (bends: readonly number[]) =>
  `${bends.length === 1 ? 'bend' : 'bends'} ${bends.join(', ')}`

const LEFT_OUT: Readonly<Record<PieceSigned['leftOut'][number]['why'], string>> = {
  void: 'Left out, being void',
  'signed-already': 'Left out, being signed by the same person before',
}

/** The texts of signing every bend of a piece at once. */
export const pieceWords = {
  sign: 'Sign this piece',
  title: (part: string, piece: number) => `Sign piece ${piece} of ${part}`,
  scope: 'What is signed',
  thisBend: 'This bend',
  /** `voided`: so many of the piece's bends are void. */
  all: (bends: number, voided: number) =>
    voided === 0
      ? `All ${bends} bends of this piece`
      : `All ${bends - voided} bends of this piece that are not void`,
  bends: 'Bends of this piece',
  bend: (id: number) => `Bend ${id}`,
  place: (bendNumber: number) => `bend ${bendNumber} of the piece`,
  /** Both angles as texts. */
  angle: (released: string | null, wanted: string) =>
    released === null ? `no released angle, ${wanted} wanted` : `${released}, ${wanted} wanted`,
  isAmended: 'amended',
  isVoid: 'void: left out',
  unsigned: 'nobody signed it as it stands',
  by: { signed: 'signed by', 'counter-signed': 'counter-signed by' },
  rule: 'Each bend gets a signature of its own, or none of them does. What the same person signed before in that role is left out.',
  submit: 'Sign these bends',
  unread: 'The bends of this piece are not read yet: wait a moment and try again.',
  /** What became of it. */
  done({ acts, leftOut }: PieceSigned): string {
    const out = (['void', 'signed-already'] as const).flatMap((why) => {
      const bends = leftOut.filter((one) => one.why === why).map(({ bend }) => bend)
      return bends.length === 0 ? [] : [`${LEFT_OUT[why]}: ${listed(bends)}.`]
    })
    return [`Signed: ${listed(acts.map(({ bendId }) => bendId))}.`, ...out].join(' ')
  },
} as const
