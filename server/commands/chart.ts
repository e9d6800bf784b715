import { chartFigures } from '../quality/chart-figures.ts'
import { readColumn } from './chart-csv.ts'
import { chartSentences } from './chart-sentences.ts'
import { type AddCommand, BadInput, finiteNumber, printJson } from './command.ts'

interface Options {
  readonly lower?: number | null
  readonly upper?: number | null
  readonly json?: true
}

/** Control chart and capability of one column of numbers. */
export const chart: AddCommand = (program) => {
  program
    .command('chart <file>')
    .description('Control limits, run rules and capability of one column of numbers.')
    .option('--lower <value>', 'lower specification limit', finiteNumber('--lower'))
    .option('--upper <value>', 'upper specification limit', finiteNumber('--upper'))
    .option('--json', 'one JSON document on standard output')
    .action(async (file: string, { lower = null, upper = null, json }: Options) => {
      if (lower !== null && upper !== null && !(lower < upper))
        throw new BadInput(`--lower ${lower} is not below --upper ${upper}.`)
      const figures = chartFigures(await readColumn(file), { lower, upper })
      if (json) printJson(figures)
      else process.stdout.write(`${chartSentences(figures).join('\n')}\n`)
    })
}
