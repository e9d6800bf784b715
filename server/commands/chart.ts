import { chartFigures } from '../quality/chart-figures.ts'
import { type Column, readColumn } from './chart-csv.ts'
import { chartSentences } from './chart-sentences.ts'
import { type AddCommand, BadInput, finiteNumber, printJson } from './command.ts'

interface Options {
  readonly column?: string
  readonly lower?: number | null
  readonly upper?: number | null
  readonly json?: true
}

function columnSentence({ name, place }: Column): string {
  return name === null || name === '' ? `Column ${place}.` : `Column ${place}, "${name}".`
}

/** Control chart and capability of one column of numbers. */
export const chart: AddCommand = (program) => {
  program
    .command('chart <file>')
    .description('Control limits, run rules and capability of one column of numbers.')
    .option('--column <name>', 'which column, by its name, or by its number from 1')
    .option('--lower <value>', 'lower specification limit', finiteNumber('--lower'))
    .option('--upper <value>', 'upper specification limit', finiteNumber('--upper'))
    .option('--json', 'one JSON document on standard output')
    .action(async (file: string, { column: wanted, lower = null, upper = null, json }: Options) => {
      if (lower !== null && upper !== null && !(lower < upper))
        throw new BadInput(`--lower ${lower} is not below --upper ${upper}.`)
      const column = await readColumn(file, wanted)
      const figures = chartFigures(column.values, { lower, upper })
      const { name, place } = column
      if (json) return printJson({ column: { name, place }, ...figures })
      process.stdout.write(`${[columnSentence(column), ...chartSentences(figures)].join('\n')}\n`)
    })
}
