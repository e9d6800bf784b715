import { catalogue } from '../../server/blocks/index.ts'
import type { DeclaredPorts } from '../../server/chain/block.ts'
import { HISTORY_ERRORS } from '../../server/history/errors.ts'
import { ERRORS } from '../../server/web/errors.ts'

/** A port's name, with its unit where a parameter names that. */
const portNames = (ports: DeclaredPorts) =>
  Object.entries(ports)
    .map(([name, port]) => {
      if (port.carries !== 'number' || typeof port.unit === 'string') return name
      const { parameter, as } = port.unit
      return `${name} (${as === 'itself' ? `as \`${parameter}\` says` : `rate of \`${parameter}\``})`
    })
    .join(', ') || '–'

/**
 * The tables of DEVELOPERS.md that are made from the code. `tests/tidy.test.ts` holds them equal; run
 * `npx tsx tests/support/print-tables.ts` and paste what changed.
 */
export const tables = {
  blocks: [
    '| block | what | takes | gives |',
    '|---|---|---|---|',
    ...catalogue.map(
      ({ kind, summary, inputs, outputs }) =>
        `| \`${kind}\` | ${summary} | ${portNames(inputs)} | ${portNames(outputs)} |`,
    ),
  ].join('\n'),
  webErrors: [
    '| code | status | sentence |',
    '|---|---|---|',
    ...Object.entries(ERRORS).map(
      ([code, [status, sentence]]) => `| \`${code}\` | ${status} | ${sentence} |`,
    ),
  ].join('\n'),
  historyErrors: [
    '| code | who mends it | sentence |',
    '|---|---|---|',
    ...Object.entries(HISTORY_ERRORS).map(
      ([code, { remedy, sentence }]) => `| \`${code}\` | ${remedy} | ${sentence} |`,
    ),
  ].join('\n'),
}
