import { Compile } from 'typebox/compile'
import { BendFilter } from '../messages/find.ts'
import { BadInput } from './command.ts'

const filterShape = Compile(BendFilter)
const NAMES = Object.keys(BendFilter.properties)

/** Of an address of the history: which page of what it finds. */
const OF_THE_PAGE: readonly string[] = ['before']

const isNumber = (name: string) => name === 'piece' || name === 'daysBack'

/**
 * Reads a filter as the address of the page of the history has it: that address, or what stands behind its `?`.
 *
 * @throws BadInput naming the condition.
 */
export function filterIn(text: string): BendFilter {
  const query = new URLSearchParams(text.slice(text.indexOf('?') + 1))
  const filter: Record<string, string | number> = {}
  for (const [name, typed] of query) {
    const value = typed.trim()
    if (value === '' || OF_THE_PAGE.includes(name)) continue
    if (!NAMES.includes(name))
      throw new BadInput(
        `--filter: "${name}" is no condition of the history; take the address of its page, or of ${NAMES.join(', ')}.`,
      )
    filter[name] = isNumber(name) && /^\d+$/.test(value) ? Number(value) : value
  }
  if (filterShape.Check(filter)) return filter
  const [error] = filterShape.Errors(filter)
  throw new BadInput(`--filter: ${error?.instancePath.slice(1)} ${error?.message}.`)
}
