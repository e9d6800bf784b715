const MM_PER_INCH = 25.4

const NUMBER = String.raw`\d+(?:[.,]\d+)?|[.,]\d+`
const LENGTH = new RegExp(
  String.raw`^(?:(\d+)[ -])?(?:(\d+)\/(\d+)|(${NUMBER}))\s*(mm|in|inch|"|″)?$`,
  'i',
)

/**
 * A length as people write it, in mm: `38.1`, `38,1 mm`, `1.5in`, `1 1/2"`, `3/8 in`.
 * A bare number is in `unit`. Null when it is no length, or none greater than nothing.
 */
export function parseLengthMm(text: string, unit: 'mm' | 'in'): number | null {
  const match = LENGTH.exec(text.trim())
  if (!match) return null
  const [, whole, over, under, decimal, suffix] = match
  if (whole !== undefined && decimal !== undefined) return null
  const value =
    decimal === undefined
      ? Number(whole ?? 0) + Number(over) / Number(under)
      : Number(decimal.replace(',', '.'))
  const isInch = suffix === undefined ? unit === 'in' : suffix.toLowerCase() !== 'mm'
  const mm = isInch ? value * MM_PER_INCH : value
  return mm > 0 && Number.isFinite(mm) ? Math.round(mm * 1e6) / 1e6 : null
}

/** A plain number as people write it; a decimal comma is as good as a point. Null if it is none. */
export function parseNumber(text: string): number | null {
  const plain = text.trim().replace(',', '.')
  return /^-?(?:\d+(?:\.\d*)?|\.\d+)$/.test(plain) ? Number(plain) : null
}
