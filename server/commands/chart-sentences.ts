import type { ChartFigures } from '../quality/chart-figures.ts'
import type { RunRule } from '../quality/run-rules.ts'

const DIGITS = 6
/** From fewer the interval of an index is about ±0.4 wide. */
const FEW = 30
const SHOWN_MAX = 20

const plain = (value: number) => String(Number(value.toPrecision(DIGITS)))

/** Places as people count: from 1. */
function numbersOf(places: readonly number[]): string {
  const shown = places.slice(0, SHOWN_MAX).map((place) => place + 1)
  const more = places.length - shown.length
  return shown.join(', ') + (more > 0 ? ` and ${more} more` : '')
}

function ruleWords(rule: RunRule): string {
  switch (rule.name) {
    case 'beyond':
      return `beyond ${rule.sigmas} sigma`
    case 'side':
      return `${rule.length} in a row on one side of the centre`
    case 'trend':
      return `${rule.length} in a row rising or falling`
    case 'alternating':
      return `${rule.length} in a row up and down in turn`
    case 'zone':
      return `${rule.least} of ${rule.length} beyond ${rule.sigmas} sigma on one side`
    case 'within':
      return `${rule.length} in a row within ${rule.sigmas} sigma`
    case 'outside':
      return `${rule.length} in a row all beyond ${rule.sigmas} sigma`
  }
}

function chartLines(figures: ChartFigures): string[] {
  const { lowerLimit, upperLimit, averageMovingRange, constants } = figures
  if (lowerLimit === null || upperLimit === null || averageMovingRange === null)
    return ['One value has no moving range: no limits, no capability.']
  const rules = figures.runRules.map(
    ({ rule, places }) => `${ruleWords(rule)}: at number ${numbersOf(places)}.`,
  )
  const ranges = figures.movingRangeOutOfControl
  if (ranges.length > 0) rules.push(`step too large: at number ${numbersOf(ranges)}.`)
  return [
    `Limits of single values: ${plain(lowerLimit)} to ${plain(upperLimit)} ` +
      `(mean moving range ${plain(averageMovingRange)}, d2 ${constants.d2}, ${constants.sigmas} sigma).`,
    ...(rules.length === 0 ? ['Nothing in it points to a change.'] : ['Points to a change:']),
    ...rules.map((rule) => `  ${rule}`),
  ]
}

function capabilityLines(figures: ChartFigures): string[] {
  const { confidence, n } = figures
  const { lower, upper } = figures.specification
  if (lower === null && upper === null) return []
  if (figures.cpk === null && figures.ppk === null) return ['No spread: capability has no value.']
  const lines = (['cp', 'cpk', 'pp', 'ppk'] as const).flatMap((name) => {
    const [value, interval] = [figures[name], confidence[name]]
    if (value === null || interval === null) return []
    const from = name.startsWith('c') ? 'moving ranges' : 'all values'
    const [low, high] = interval
    return `  ${name[0]?.toUpperCase()}${name.slice(1)} ${plain(value)}, ${confidence.level * 100} %: ${plain(low)} to ${plain(high)} (sigma from ${from})`
  })
  const isStable = figures.runRules.length + figures.movingRangeOutOfControl.length === 0
  return [
    `Capability for ${lower === null ? '–' : plain(lower)} to ${upper === null ? '–' : plain(upper)}, ${n} values:`,
    ...lines,
    ...(isStable ? [] : ['Something changed meanwhile: Cp and Cpk foretell nothing.']),
    ...(n < FEW ? [`From fewer than ${FEW} values: mind how wide the intervals are.`] : []),
  ]
}

/** What `overbend chart` tells a person, a line each. */
export function chartSentences(figures: ChartFigures): string[] {
  const { n, mean, sd } = figures
  const spread = sd === null ? '' : `, standard deviation ${plain(sd)}`
  return [
    `${n} ${n === 1 ? 'value' : 'values'}, mean ${plain(mean)}${spread}.`,
    ...chartLines(figures),
    ...capabilityLines(figures),
  ]
}
