import { MISFIT } from './field.ts'
import { FORM_LIST, fieldsAgree, type LooseForm } from './forms.ts'
import { FIELDS_AT, fieldsEnd, LETTER_AT, refuseFrame } from './frame.ts'
import type { Decoded, RefusalReason, Sentence } from './sentence.ts'

const COMMA = 0x2c

const FORM_OF_LETTER = new Map(FORM_LIST.map((form) => [form.letter.charCodeAt(0), form]))

/**
 * Reads one line of the native protocol, without its ending. Any string at all may be given: what is not a
 * whole and valid sentence is refused with the first reason in the order of SPECIFICATION.md.
 */
export function decodeLine(line: string): Decoded {
  const refusal = refuseFrame(line)
  if (refusal) return refuse(refusal)
  const form = FORM_OF_LETTER.get(line.charCodeAt(LETTER_AT))
  if (!(form && line.charCodeAt(FIELDS_AT) === COMMA)) return refuse('unknown sentence')
  const end = fieldsEnd(line)
  if (countFields(line, end) !== form.fields.length) return refuse('wrong field count')
  const sentence = readFields(form, line, end)
  return sentence ? { ok: true, sentence } : refuse('bad field')
}

const refuse = (reason: RefusalReason): Decoded => ({ ok: false, reason })

/** A comma stands before each field, the first one too. */
function countFields(line: string, end: number): number {
  let fields = 0
  for (let at = FIELDS_AT; at < end; at++) if (line.charCodeAt(at) === COMMA) fields++
  return fields
}

/** @returns null when a field does not fit its grammar. */
function readFields(form: LooseForm, line: string, end: number): Sentence | null {
  const values: Record<string, unknown> = { kind: form.kind }
  let from = FIELDS_AT + 1
  for (const [name, field] of form.fields) {
    const to = Math.min(line.indexOf(',', from), end)
    const value = field.read(line, from, to)
    if (value === MISFIT) return null
    if (value !== undefined) values[name] = value
    from = to + 1
  }
  // The table's types, checked against `sentence.ts` in forms.ts, make this so.
  const sentence = values as unknown as Sentence
  return fieldsAgree(sentence) ? sentence : null
}
