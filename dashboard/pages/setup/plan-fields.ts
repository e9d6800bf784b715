import type { Job } from '../../../server/messages/setup.ts'
import {
  angleToleranceDeg,
  TOLERANCE_CLASSES,
  type ToleranceClass,
} from '../../../server/quality/tolerance-class.ts'
import { words } from '../../words/en.ts'
import { parseLengthMm } from '../../words/parse-length.ts'

/** What the form holds of where the tolerance comes from and which pieces are measured. */
export const PLAN_FIELDS = ['toleranceFrom', 'leg', 'plan', 'everyNth', 'lastPiece'] as const
export type PlanField = (typeof PLAN_FIELDS)[number]
export type PlanTexts = Record<PlanField, string>

/** The daemon's own names for these fields. */
export const PLAN_PATHS: Readonly<Record<string, PlanField>> = {
  'toleranceBy.toleranceClass': 'toleranceFrom',
  'toleranceBy.shorterLegMm': 'leg',
  'sampling.everyNth': 'everyNth',
  'sampling.lastPiece': 'lastPiece',
}

export const NO_PLAN: PlanTexts = {
  ...{ toleranceFrom: '', leg: '', plan: '', everyNth: '', lastPiece: '' },
}

/** The class that is chosen; null: the tolerance is typed. */
export const classOf = ({ toleranceFrom }: PlanTexts): ToleranceClass | null =>
  TOLERANCE_CLASSES.find((one) => one === toleranceFrom) ?? null

/** ± degrees of the class and leg in the form, to a millionth; null: typed, or the leg is no length yet. */
export function classToleranceDeg(texts: PlanTexts, unit: 'mm' | 'in'): number | null {
  const [of, legMm] = [classOf(texts), parseLengthMm(texts.leg, unit)]
  if (of === null || legMm === null || !(legMm > 0)) return null
  return Math.round(angleToleranceDeg(of, legMm) * 1e6) / 1e6
}

const isWhole = (text: string) => /^\d+$/.test(text.trim())

/** What the form can see by itself is wrong with these fields. */
export function planProblemsOf(
  texts: PlanTexts,
  unit: 'mm' | 'in',
): Partial<Record<PlanField, string>> {
  const isLegMissing = classOf(texts) !== null && classToleranceDeg(texts, unit) === null
  const wholes = (['everyNth', 'lastPiece'] as const).filter(
    (field) => texts.plan !== '' && texts[field].trim() !== '' && !isWhole(texts[field]),
  )
  return {
    ...(isLegMissing && { leg: words.setup.notLength }),
    ...Object.fromEntries(wholes.map((field) => [field, words.setup.notWhole])),
  }
}

const wholeOrNull = (text: string) => (text.trim() === '' ? null : Number(text))

/** What the job says of them; the tolerance is that of the class where one is chosen. */
export function readPlan(texts: PlanTexts, unit: 'mm' | 'in'): Partial<Job> {
  const toleranceClass = classOf(texts)
  const toleranceDeg = classToleranceDeg(texts, unit)
  const shorterLegMm = parseLengthMm(texts.leg, unit)
  const isByClass = toleranceClass !== null && toleranceDeg !== null && shorterLegMm !== null
  return {
    ...(isByClass && { toleranceDeg, toleranceBy: { toleranceClass, shorterLegMm } }),
    ...(texts.plan !== '' && {
      sampling: {
        everyNth: wholeOrNull(texts.everyNth),
        lastPiece: wholeOrNull(texts.lastPiece),
      },
    }),
  }
}

const shown = (value: number | null | undefined) => (value == null ? '' : String(value))

/** Fills these fields from the job in force. */
export const planTextsOf = (
  { toleranceBy, sampling }: Pick<Job, 'toleranceBy' | 'sampling'>,
  show: (mm: number) => string,
): PlanTexts => ({
  toleranceFrom: toleranceBy?.toleranceClass ?? '',
  leg: toleranceBy === undefined ? '' : show(toleranceBy.shorterLegMm),
  plan: sampling === undefined ? '' : 'plan',
  everyNth: shown(sampling?.everyNth),
  lastPiece: shown(sampling?.lastPiece),
})
