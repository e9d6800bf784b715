import { MISFIT } from './field.ts'
import { FORM_LIST, fieldsAgree } from './forms.ts'
import { closeFrame } from './frame.ts'
import type { Sentence } from './sentence.ts'

const FORM_OF_KIND = new Map(FORM_LIST.map((form) => [form.kind, form]))

/**
 * One sentence as a line, without CR LF. `decodeLine` gives the same sentence back.
 *
 * @throws RangeError with a sentence that names the field, for a value outside its limits.
 */
export function encodeSentence(sentence: Sentence): string {
  const form = FORM_OF_KIND.get(sentence.kind)
  if (!form) throw new RangeError(`No sentence is called "${sentence.kind}".`)
  if (!fieldsAgree(sentence))
    throw new RangeError('answer.reason takes a text when, and only when, ok is false.')
  const values = sentence as unknown as Readonly<Record<string, unknown>>
  const fields = form.fields.map(([name, field]) => {
    const written = field.write(values[name])
    if (written === MISFIT)
      throw new RangeError(
        `${form.kind}.${name} takes ${field.grammar}, got "${String(values[name])}".`,
      )
    return written
  })
  return closeFrame(form.letter, fields)
}
