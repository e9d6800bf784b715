import { type Static, type TSchema, Type } from 'typebox'
import { amendment } from './act-kinds/amendment.ts'
import { inspection } from './act-kinds/inspection.ts'
import { note } from './act-kinds/note.ts'
import { photo } from './act-kinds/photo.ts'
import { reinstated } from './act-kinds/reinstated.ts'
import { signature } from './act-kinds/signature.ts'
import { teaching } from './act-kinds/teaching.ts'
import { voided } from './act-kinds/void.ts'

export { DECISIONS } from './act-kinds/teaching.ts'

/** Every kind of act about a recorded bend. The bend itself never changes. */
export const ACT_KINDS = [
  ...[teaching, amendment, voided, reinstated],
  ...[signature, note, inspection, photo],
] as const

type AnyKind = (typeof ACT_KINDS)[number]
type In<T, K extends 'ask' | 'given' | 'kept'> = T extends {
  readonly [P in K]: infer S extends TSchema
}
  ? Static<S>
  : never

export type ActKind = AnyKind['kind']

type KindOf<K extends ActKind> = Extract<AnyKind, { readonly kind: K }>

/** An act of a kind as a person asks for it. */
export type ActAsk<K extends ActKind = ActKind> = In<KindOf<K>, 'ask'>

/** What a person did about a recorded bend, as it is handed to the history. */
export type NewAct<K extends ActKind = ActKind> = In<KindOf<K>, 'given'>

/** An act as the log keeps it: numbered, chained by hash, and tied to the chain of the bends. */
export const Act = Type.Unsafe<In<AnyKind, 'kept'>>(
  Type.Union(ACT_KINDS.map(({ kept }) => kept as TSchema)),
)
export type Act<K extends ActKind = ActKind> = In<KindOf<K>, 'kept'>

export type TeachingAsk = ActAsk<'teaching'>
