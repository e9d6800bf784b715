import { words } from '../../words/en.ts'
import type { Draft } from './draft.ts'

const { edit: say } = words.chain

type Fields = Readonly<Record<string, unknown>>

const isFields = (value: unknown): value is Fields =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

const hasTexts = (value: unknown, ...names: readonly string[]): boolean =>
  isFields(value) && names.every((name) => typeof value[name] === 'string')

const isBlock = (value: unknown): boolean =>
  hasTexts(value, 'id', 'kind') &&
  ((value as Fields)['parameters'] === undefined || isFields((value as Fields)['parameters']))

/** Whether it can be drawn and edited. Whether it can run, the check says. */
export function isDraft(value: unknown): value is Draft {
  if (!hasTexts(value, 'format', 'name')) return false
  const { version, revision, blocks, connections } = value as Fields
  return (
    typeof version === 'number' &&
    typeof revision === 'number' &&
    Array.isArray(blocks) &&
    blocks.every(isBlock) &&
    new Set(blocks.map(({ id }) => id)).size === blocks.length &&
    Array.isArray(connections) &&
    connections.every((one) => hasTexts(one, 'from', 'to'))
  )
}

export const textOfDraft = (draft: Draft): string => JSON.stringify(draft, null, 2)

/** What a text is: a value to be checked, or one sentence why it is none. */
export function readText(text: string): { readonly value: unknown } | { readonly why: string } {
  try {
    return { value: JSON.parse(text) as unknown }
  } catch (error) {
    return { why: say.noJson(error instanceof Error ? error.message : '') }
  }
}
