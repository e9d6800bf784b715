import { BadInput } from './command.ts'

/** Sums and differences of values beyond it no longer fit a double. */
const VALUE_MAX = 1e300
const SHOWN_MAX = 40

const DECIMAL = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?$/i
const DECIMAL_COMMA = /^[+-]?(?:\d+,\d*|,\d+)(?:e[+-]?\d+)?$/i
/** 1,234 may be a thousand and more: 0,234 and 12,34 are not. */
const MAYBE_THOUSANDS = /^[+-]?[1-9]\d{0,2},\d{3}$/

export interface NumberCell {
  readonly text: string
  /** Of the file, from 1. */
  readonly line: number
}

interface Where {
  readonly path: string
  /** A comma does not part the columns: it may stand in the numbers. */
  readonly mayHaveCommas: boolean
}

/** Whether a cell is a number, with a decimal point or a decimal comma. */
export const isNumber = (text: string): boolean => DECIMAL.test(text) || DECIMAL_COMMA.test(text)

const refuse = ({ line }: NumberCell, { path }: Where, sentence: string) =>
  new BadInput(`${path}, line ${line}: ${sentence}`)

/** @throws BadInput where it is not certain that the commas of a column are decimal ones. */
function demandCertain(cells: readonly NumberCell[], where: Where): void {
  const withComma = cells.filter(({ text }) => DECIMAL_COMMA.test(text))
  const [first] = withComma
  if (first === undefined) return
  if (!where.mayHaveCommas)
    throw refuse(
      first,
      where,
      `"${first.text.slice(0, SHOWN_MAX)}" has a decimal comma; write a point.`,
    )
  const point = cells.find(({ text }) => DECIMAL.test(text) && text.includes('.'))
  if (point !== undefined)
    throw refuse(
      point,
      where,
      `a decimal point, where line ${first.line} has a comma; write a point in all lines.`,
    )
  if (withComma.every(({ text }) => MAYBE_THOUSANDS.test(text)))
    throw refuse(
      first,
      where,
      `"${first.text}" may be thousands or a decimal comma; write a point.`,
    )
}

function numberIn(cell: NumberCell, where: Where): number {
  const shown = cell.text.slice(0, SHOWN_MAX)
  const text = cell.text.replace(',', '.')
  if (!isNumber(cell.text)) throw refuse(cell, where, `a number is needed, got "${shown}".`)
  const value = Number(text)
  if (!(Math.abs(value) <= VALUE_MAX)) throw refuse(cell, where, `${shown} is beyond ${VALUE_MAX}.`)
  return value
}

/**
 * The numbers of one column. Decimal commas are read where columns are parted by something else and nothing in the
 * column speaks against it.
 *
 * @throws BadInput with the line at fault.
 */
export function numbersIn(cells: readonly NumberCell[], where: Where): number[] {
  demandCertain(cells, where)
  return cells.map((cell) => numberIn(cell, where))
}
