import { catalogue } from '../../server/blocks/index.ts'
import { HISTORY_ERRORS } from '../../server/history/errors.ts'
import { ERRORS } from '../../server/web/errors.ts'

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
        `| \`${kind}\` | ${summary} | ${Object.keys(inputs).join(', ') || '–'} | ${Object.keys(outputs).join(', ') || '–'} |`,
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
