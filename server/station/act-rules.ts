import type { Amendable } from '../messages/act-kinds/amendment.ts'
import type { Act, ActAsk, ActKind } from '../messages/acts.ts'
import { signaturesOf, standingText, voidedBy } from '../messages/bend-standing.ts'
import type { Bend } from '../messages/bends.ts'
import { plainName } from '../messages/person-name.ts'
import type { KeptPhoto } from '../messages/photos.ts'
import { BEND_NUMBER_MAX } from '../messages/setup.ts'
import { Refused } from '../web/station-door.ts'
import { demandInspection } from './inspection-rules.ts'

/** A bend and what was done about it, oldest first. */
export interface About {
  readonly bend: Bend
  readonly acts: readonly Act[]
  /** A photo that was handed in, by its hash; null: there is none. */
  readonly photo: (sha256: string) => Pick<KeptPhoto, 'type' | 'bytes'> | null
}

/** Throws `Refused` where an act has no place on the bend as it stands. */
type Rule<K extends ActKind> = (about: About, ask: ActAsk<K>) => void

const refuse = (code: string, sentence: string, field: string): never => {
  throw new Refused(code, sentence, field)
}

const NAME_MAX = 80
const PIECE_MAX = 1_000_000
const ANGLE_MAX_DEG = 3600

const isName = (text: string) => text.trim() !== '' && [...text].length <= NAME_MAX
const isWhole = (text: string, max: number) => /^[1-9]\d{0,6}$/.test(text) && Number(text) <= max
const isAngle = (text: string) =>
  /^-?\d{1,4}(\.\d{1,6})?$/.test(text) && Math.abs(Number(text)) <= ANGLE_MAX_DEG

interface Wanted {
  readonly fits: (text: string) => boolean
  readonly words: string
  readonly mayBeNothing?: true
}

const NAME: Wanted = { fits: isName, words: `a name of up to ${NAME_MAX} characters` }

/** What may stand in an amended field. */
const WANTED: Readonly<Record<Amendable, Wanted>> = {
  operator: NAME,
  part: NAME,
  lot: NAME,
  piece: {
    fits: (text) => isWhole(text, PIECE_MAX),
    words: `a whole number from 1 to ${PIECE_MAX}`,
  },
  bendNumber: {
    fits: (text) => isWhole(text, BEND_NUMBER_MAX),
    words: `a whole number from 1 to ${BEND_NUMBER_MAX}`,
  },
  checkedDeg: {
    fits: isAngle,
    words: 'degrees with a decimal point, or nothing',
    mayBeNothing: true,
  },
  gauge: { ...NAME, words: `${NAME.words}, or nothing`, mayBeNothing: true },
  note: { fits: (text) => text.trim() !== '', words: 'a text, or nothing', mayBeNothing: true },
}

const shown = (text: string | null) => (text === null ? 'nothing' : `"${text}"`)

function amendment({ bend, acts }: About, { field, from, to }: ActAsk<'amendment'>): void {
  const { fits, words, mayBeNothing = false } = WANTED[field]
  if (!(to === null ? mayBeNothing : fits(to))) refuse('bad-input', `to must be ${words}.`, 'to')
  const now = standingText(bend, acts, field)
  if (from !== now)
    refuse(
      'changed-since',
      `Of bend ${bend.id} ${field} is ${shown(now)}, not ${shown(from)}: look at it again.`,
      'from',
    )
  if (to === now)
    refuse('nothing-to-do', `Of bend ${bend.id} ${field} is ${shown(now)} already.`, 'to')
}

function voided({ bend, acts }: About): void {
  if (voidedBy(acts) !== null) refuse('nothing-to-do', `Bend ${bend.id} is void already.`, 'reason')
}

function reinstated({ bend, acts }: About): void {
  if (voidedBy(acts) === null) refuse('nothing-to-do', `Bend ${bend.id} is not void.`, 'reason')
}

function teaching({ bend, acts }: About, { decision }: ActAsk<'teaching'>): void {
  const { id, learned, notLearnedWhy } = bend
  if (learned === 'no')
    refuse(
      'teaches-nothing',
      `Bend ${id} cannot teach: ${notLearnedWhy ?? 'it was not to'}`,
      'decision',
    )
  if (voidedBy(acts) !== null)
    refuse(
      'teaches-nothing',
      `Bend ${id} is void: it teaches nothing until it counts again.`,
      'decision',
    )
  const last = acts.findLast((act) => act.kind === 'teaching')
  const isFound = last?.kind !== 'teaching' || last.decision === 'as-found'
  if (decision === 'as-found' && isFound)
    refuse(
      'teaches-nothing',
      `Nobody put bend ${id} back or took it out, so there is nothing to undo.`,
      'decision',
    )
}

const isSame = (one: string, other: string) => plainName(one) === plainName(other)

function signature({ bend, acts }: About, { role, who }: ActAsk<'signature'>): void {
  const { id } = bend
  if (voidedBy(acts) !== null)
    refuse('not-signable', `Bend ${id} is void: what is void is not signed.`, 'role')
  const now = signaturesOf(acts)
  if (now.some((one) => one.role === role && isSame(one.who, who)))
    refuse('nothing-to-do', `${who} has ${role} bend ${id} already, as it stands.`, 'role')
  if (role === 'signed') return
  const others = now.filter((one) => one.role === 'signed')
  if (others.length === 0)
    refuse('not-signable', `Nobody has signed bend ${id} as it stands: sign it first.`, 'role')
  if (others.every((one) => isSame(one.who, who)))
    refuse(
      'not-signable',
      `${who} signed bend ${id}: another person has to counter-sign it.`,
      'who',
    )
}

function photo({ photo: photoOf, acts }: About, ask: ActAsk<'photo'>): void {
  const kept = photoOf(ask.sha256)
  if (kept === null || kept.type !== ask.type || kept.bytes !== ask.bytes)
    refuse('bad-input', 'sha256 names no photo that was handed in: send it first.', 'sha256')
  if (acts.some((act) => act.kind === 'photo' && act.sha256 === ask.sha256))
    refuse('nothing-to-do', 'That photo is with this bend already.', 'sha256')
}

/** What each kind demands of the bend as it stands, besides the shape of what is asked; a kind without a line demands nothing. */
const RULES: { readonly [K in ActKind]?: Rule<K> } = {
  amendment,
  void: voided,
  reinstated,
  teaching,
  signature,
  inspection: ({ bend }, ask) => demandInspection(bend, ask),
  photo,
}

/** @throws Refused `bad-input`, `changed-since`, `nothing-to-do`, `teaches-nothing`, `not-signable` */
export function demandPlace<K extends ActKind>(kind: K, about: About, ask: ActAsk<K>): void {
  const rule = RULES[kind] as Rule<K> | undefined
  rule?.(about, ask)
}
