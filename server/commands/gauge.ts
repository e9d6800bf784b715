import { gaugeAnova, gaugeRanges } from '../quality/gauge-study.ts'
import { type AddCommand, BadInput, finiteNumber, printJson } from './command.ts'
import { type GaugeTable, readGaugeTable } from './gauge-csv.ts'

interface Options {
  readonly tolerance?: number
  readonly json?: true
}

/** Six standard deviations: what is compared with the whole width of a tolerance. */
const WIDTH = 6
const PERCENT = 100
/** Up to 10 % serves, beyond 30 % does not, between them it depends (AIAG MSA manual, from memory). */
const SERVES_PERCENT = 10
const SERVES_NOT_PERCENT = 30
const CATEGORIES_MIN = 5

const notStudied = (error: unknown): never => {
  throw error instanceof RangeError
    ? new BadInput(`The study: ${error.message}: name more operators, tubes or readings.`)
    : error
}

function anovaOf({ readings }: GaugeTable) {
  try {
    return gaugeAnova(readings)
  } catch (error) {
    return notStudied(error)
  }
}

/** Null for more than the tables of the method hold. */
function rangesOf({ readings }: GaugeTable) {
  try {
    return gaugeRanges(readings)
  } catch (error) {
    if (!(error instanceof RangeError)) throw error
    return null
  }
}

function figuresOf(table: GaugeTable, tolerance: number | null) {
  const anova = anovaOf(table)
  const { gauge, total } = anova
  return {
    operators: table.operators,
    tubes: table.tubes,
    trials: table.trials,
    tolerance,
    percentOfStudy: total > 0 ? (PERCENT * gauge) / total : null,
    percentOfTolerance: tolerance === null ? null : (PERCENT * WIDTH * gauge) / tolerance,
    anova,
    ranges: rangesOf(table),
  }
}

type Figures = ReturnType<typeof figuresOf>

function verdictOn(percent: number): string {
  if (percent <= SERVES_PERCENT) return 'it serves'
  return percent <= SERVES_NOT_PERCENT ? 'it may serve, by what depends on it' : 'it does not serve'
}

function sentencesOf(figures: Figures): string[] {
  const { operators, tubes, trials, anova, percentOfStudy, percentOfTolerance } = figures
  const { repeatability, reproducibility, gauge, part, categories } = anova
  const fixed = (value: number) => value.toPrecision(4)
  const told = [
    `${operators.length} operators, ${tubes.length} tubes, ${trials} readings each, by analysis of variance${anova.pooled ? ', interaction pooled' : ''}.`,
    `Standard deviations: same operator and tube ${fixed(repeatability)}, from operator to operator ${fixed(reproducibility)}, gauge ${fixed(gauge)}, from tube to tube ${fixed(part)}.`,
  ]
  if (percentOfStudy !== null)
    told.push(`The gauge is ${percentOfStudy.toFixed(1)} % of the whole spread.`)
  if (gauge === 0)
    told.push(
      'All readings of a tube are the same: the gauge reads too coarsely, or readings were copied. Nothing is said of it.',
    )
  else if (percentOfTolerance !== null)
    told.push(
      `Six of its standard deviations are ${percentOfTolerance.toFixed(1)} % of the tolerance: ${verdictOn(percentOfTolerance)}.`,
    )
  if (categories !== null)
    told.push(
      `It tells ${categories} sorts of tubes apart${categories < CATEGORIES_MIN ? `; ${CATEGORIES_MIN} or more are wanted` : ''}.`,
    )
  return told
}

/** `overbend gauge`: how much of a spread is the gauge and whoever reads it. */
export const gauge: AddCommand = (program) => {
  program
    .command('gauge <file>')
    .description(
      'Repeatability and reproducibility of a gauge, from a CSV of operator, tube, reading.',
    )
    .option(
      '--tolerance <width>',
      'whole width of the tolerance, 1 for ± 0.5',
      finiteNumber('--tolerance'),
    )
    .option('--json', 'one JSON document on standard output')
    .action(async (file: string, { tolerance, json }: Options) => {
      if (tolerance !== undefined && !(tolerance > 0))
        throw new BadInput(`--tolerance takes a width above 0, got ${tolerance}.`)
      const figures = figuresOf(await readGaugeTable(file), tolerance ?? null)
      if (json) printJson(figures)
      else process.stdout.write(`${sentencesOf(figures).join('\n')}\n`)
    })
}
