/** Sign, digits, point, exponent: what the usual print routines write. No hex, no grouping, no infinity. */
const DECIMAL = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?$/

/** @returns NaN for anything that is not one finite decimal number. */
export function readDecimal(text: string): number {
  const value = DECIMAL.test(text) ? Number(text) : Number.NaN
  return Number.isFinite(value) ? value : Number.NaN
}
