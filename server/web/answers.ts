import type { TSchema } from 'typebox'
import { type ErrorCode, refusalSchema, statusOf } from './errors.ts'

/** What any route may answer, whatever it does. */
const ALWAYS: readonly ErrorCode[] = ['bad-request', 'foreign-page', 'wrong-host', 'internal']
/** What a route that takes a body may answer besides. */
const WITH_BODY: readonly ErrorCode[] = [
  'bad-input',
  'bad-json',
  'timed-out',
  'too-large',
  'not-json',
]

/** What a route may answer once people are enrolled, or where the history is only looked at. */
const BY_ROLE = ['not-signed-in', 'not-your-role', 'only-to-look'] as const

export interface Refusing {
  readonly codes?: readonly ErrorCode[]
  readonly body?: boolean
  readonly unpaired?: boolean
}

function codesOf({ codes = [], body = false, unpaired = false }: Refusing): ErrorCode[] {
  const more = [
    ...(body ? WITH_BODY : []),
    ...(unpaired ? [] : ['not-paired' as const, ...BY_ROLE]),
  ]
  return [...new Set([...ALWAYS, ...more, ...codes])]
}

/**
 * The response schemas of a route: what it says when it does what was asked, and the refusals that
 * can come, grouped by status. Fields that are not in a schema do not leave the daemon.
 */
export function answers<S extends TSchema>(ok: S, refusing: Refusing = {}): { 200: S } {
  const codes = codesOf(refusing)
  const statuses = [...new Set(codes.map(statusOf))]
  const refusals = statuses.map((status) => [
    status,
    refusalSchema(codes.filter((code) => statusOf(code) === status)),
  ])
  return { 200: ok, ...Object.fromEntries(refusals) }
}
