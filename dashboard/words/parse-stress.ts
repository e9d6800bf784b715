const MPA: Readonly<Record<string, number>> = {
  gpa: 1000,
  mpa: 1,
  // A pound-force on a square inch: 4.4482216152605 N on 645.16 mm².
  psi: 4.4482216152605 / 645.16,
  ksi: 4448.2216152605 / 645.16,
  msi: 4448221.6152605 / 645.16,
}
const STRESS = /^(\d+(?:[.,]\d*)?|[.,]\d+)\s*(gpa|mpa|psi|ksi|msi)?$/i

/**
 * A stress or modulus as people write it, in `unit`: `105`, `105,5 GPa`, `36 ksi`. A bare number is in `unit`.
 * Null when it is none, or below nothing.
 */
export function parseStress(text: string, unit: 'GPa' | 'MPa'): number | null {
  const match = STRESS.exec(text.trim())
  if (!match) return null
  const [, digits = '', suffix = unit] = match
  const mpa = Number(digits.replace(',', '.')) * (MPA[suffix.toLowerCase()] ?? Number.NaN)
  const value = unit === 'GPa' ? mpa / 1000 : mpa
  return Number.isFinite(value) ? Math.round(value * 1e6) / 1e6 : null
}
