import { BendFilter } from '../messages/find.ts'
import { compileValidator } from '../web/validate.ts'
import { BadInput } from './command.ts'

const check = compileValidator({
  ...{ schema: BendFilter, method: 'GET', url: '', httpPart: 'querystring' },
})
const NAMES = Object.keys(BendFilter.properties)

/** Of an address of the history: which page of what it finds. */
const OF_THE_PAGE = 'before'

/** What is asked for in an address of the history or of its charts, or in the part of it behind the `?`. */
function queryIn(text: string): URLSearchParams {
  const hash = text.indexOf('#')
  if (hash === -1 && text.includes('=')) return new URLSearchParams(text)
  const found = /^#\/history(?:\/charts)?(?:\?(.*))?$/s.exec(hash === -1 ? '' : text.slice(hash))
  if (found) return new URLSearchParams(found[1] ?? '')
  throw new BadInput(
    `--filter takes the address of the history's page, or conditions such as "part=BR-5&verdict=under", got "${text}".`,
  )
}

/**
 * Reads a filter as the address of the page of the history has it: that address, or what stands behind its `?`.
 *
 * @throws BadInput naming the condition.
 */
export function filterIn(text: string): BendFilter {
  const asked = [...queryIn(text)].filter(
    ([name, value]) => name !== OF_THE_PAGE && !(NAMES.includes(name) && value.trim() === ''),
  )
  const { value, error } = check(Object.fromEntries(asked)) as { value?: unknown; error?: Error }
  if (error) throw new BadInput(`--filter: ${error.message}`)
  return value as BendFilter
}
