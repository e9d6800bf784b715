import type {
  Flaw,
  InspectionLimits,
  OvalityBy,
} from '../../../server/messages/act-kinds/inspection.ts'
import { words } from '../../words/en.ts'
import { parseLengthMm, parseNumber } from '../../words/parse-length.ts'

const { inspection: say } = words

const LENGTHS = ['largestOdMm', 'smallestOdMm', 'wallMm'] as const
export const INSPECTION_FIELDS = [
  ...(['gauge', ...LENGTHS, 'looks', 'flaws', 'remark'] as const),
  ...(['code', 'ovalityBy', 'ovalityLimit', 'thinningMaxPercent', 'who'] as const),
]
export type InspectionField = (typeof INSPECTION_FIELDS)[number]
export type InspectionTexts = Record<InspectionField, string>

/** The field that the daemon's name of a part of the body belongs to. */
export function fieldOfPath(path: string | undefined): InspectionField | null {
  if (path === undefined) return null
  if (path.startsWith('limits.ovality')) return 'ovalityLimit'
  if (path.startsWith('limits.thinning')) return 'thinningMaxPercent'
  if (path.startsWith('limits')) return 'code'
  return INSPECTION_FIELDS.find((field) => field === path) ?? null
}

const textOrNull = (text: string) => (text.trim() === '' ? null : text.trim())

/** What the form can see by itself is wrong. */
export function problemsOfInspection(
  texts: InspectionTexts,
  unit: 'mm' | 'in',
): Partial<InspectionTexts> {
  const problems: Partial<InspectionTexts> = {}
  if (texts.gauge.trim() === '') problems.gauge = say.required
  for (const field of LENGTHS)
    if (texts[field].trim() !== '' && parseLengthMm(texts[field], unit) === null)
      problems[field] = say.notLength
  const hasLimit = texts.ovalityBy !== '' || texts.thinningMaxPercent.trim() !== ''
  if (hasLimit && texts.code.trim() === '') problems.code = say.needsCode
  if (texts.ovalityBy !== '' && parseNumber(texts.ovalityLimit) === null)
    problems.ovalityLimit = say.notNumber
  if (texts.thinningMaxPercent.trim() !== '' && parseNumber(texts.thinningMaxPercent) === null)
    problems.thinningMaxPercent = say.notNumber
  return problems
}

function limitsOf(texts: InspectionTexts): InspectionLimits | null {
  const code = textOrNull(texts.code)
  if (code === null) return null
  const by = texts.ovalityBy as OvalityBy | ''
  const ovality = by === '' ? null : { by, limit: parseNumber(texts.ovalityLimit) ?? Number.NaN }
  return { code, ovality, thinningMaxPercent: parseNumber(texts.thinningMaxPercent) }
}

/** The body of an inspection; lengths in mm. */
export function inspectionAsk(texts: InspectionTexts, unit: 'mm' | 'in') {
  const mm = (field: (typeof LENGTHS)[number]) => parseLengthMm(texts[field], unit)
  const isFlawed = texts.looks === 'flawed'
  return {
    gauge: texts.gauge.trim(),
    largestOdMm: mm('largestOdMm'),
    smallestOdMm: mm('smallestOdMm'),
    wallMm: mm('wallMm'),
    looks: textOrNull(texts.looks),
    flaws: isFlawed ? (texts.flaws.split(' ').filter((flaw) => flaw !== '') as Flaw[]) : [],
    limits: limitsOf(texts),
    remark: textOrNull(texts.remark),
  }
}
