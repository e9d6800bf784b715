import { readCell, SEPARATORS, type Separator, splitColumns } from './columns.ts'
import { decodeLine } from './decode.ts'
import { refuseNmea } from './frame.ts'
import { MAX_LINE_BYTES } from './line-splitter.ts'
import { decodeXdr } from './xdr.ts'

/** What was heard on a wire at one baud rate. */
export interface Heard {
  /** Whole lines, without the first, which may be torn. */
  readonly lines: readonly string[]
  readonly bytes: number
  /** Bytes that stand in no line of text: neither printable ASCII nor tab, CR or LF. */
  readonly strangeBytes: number
}

/** How well one dialect fits. */
export interface Fit {
  readonly dialect: 'native' | 'nmea-xdr' | 'number'
  /** From 0, not at all, to 1. */
  readonly sure: number
  /** One sentence. */
  readonly why: string
  /** Where the angle stands, for the dialect `number`. */
  readonly column?: { readonly separator: Separator; readonly column: number }
}

export interface Detected {
  /** Null when nothing fits at all. */
  readonly best: Fit | null
  /** Every dialect of lines, the best first. */
  readonly fits: readonly Fit[]
  /** One sentence. */
  readonly why: string
}

/** A line of chance passes the 16-bit and 8-bit sums of native 1 time in 2^24, so one good line nearly settles it. */
const NATIVE_DOUBT = 0.02
/** A line of chance passes an 8-bit sum 1 time in 256, and must look like transducers besides. */
const XDR_DOUBT = 0.1
/** Digits have no sum: noise that looks like a number is rare, damage that still is one is not. */
const NUMBER_DOUBT = 0.6
const NUMBER_SURE_MAX = 0.9
/** With several columns that may be the angle, which one it is remains a guess. */
const GUESSED = 0.7
/** A wrong baud rate makes strange bytes of most; a welder's spark of a few. */
const STRANGE_SHARE_MAX = 0.05

/**
 * Says how well each dialect fits what was heard, the best of them, and how sure that is. Pure: the same lines
 * give the same answer.
 */
export function detectDialect(heard: Heard): Detected {
  const fits = [fitNative(heard), fitXdr(heard), fitNumber(heard)].sort((a, b) => b.sure - a.sure)
  const [first] = fits
  const best = first !== undefined && first.sure > 0 ? first : null
  return { best, fits, why: best?.why ?? whyNone(heard) }
}

function whyNone({ bytes, lines, strangeBytes }: Heard): string {
  if (bytes === 0) return 'Nothing arrives.'
  if (strangeBytes > STRANGE_SHARE_MAX * bytes)
    return 'Bytes arrive that are no text, as at a wrong baud rate.'
  if (lines.length === 0) return 'Text arrives without line ends.'
  if (lines.some(isSentence))
    return 'Whole NMEA 0183 sentences arrive, but none of them are transducers.'
  return 'Lines arrive, but none of a dialect that is known here.'
}

/** Sure by how many of the lines are good, and by how many good ones there are. */
const sureOf = (good: number, all: number, doubt: number): number =>
  all === 0 ? 0 : (good / all) * (1 - doubt ** good)

const rounded = (sure: number): number => Math.round(sure * 1000) / 1000

function fitNative({ lines }: Heard): Fit {
  const good = lines.filter((line) => decodeLine(line).ok).length
  return {
    dialect: 'native',
    sure: rounded(sureOf(good, lines.length, NATIVE_DOUBT)),
    why: `${good} of ${lines.length} lines are sentences of the native protocol, with both sums right.`,
  }
}

function fitXdr({ lines }: Heard): Fit {
  const good = lines.filter((line) => decodeXdr(line).ok).length
  // Other sensors may speak on the same wire: their sentences are whole, but say nothing for or against.
  const foreign = lines.filter((line) => isForeign(line)).length
  return {
    dialect: 'nmea-xdr',
    sure: rounded(sureOf(good, lines.length - foreign, XDR_DOUBT)),
    why: `${good} of ${lines.length} lines are NMEA 0183 transducer sentences with the right sum.`,
  }
}

const isForeign = (line: string): boolean => {
  const decoded = decodeXdr(line)
  return !decoded.ok && decoded.reason === 'unknown sentence'
}

const isSentence = (line: string): boolean => refuseNmea(line, MAX_LINE_BYTES) === null

interface Table {
  readonly separator: Separator
  /** Columns that hold a number in most lines, from 1, with what they hold. */
  readonly columns: readonly { readonly column: number; readonly values: readonly number[] }[]
  readonly good: number
}

function fitNumber(heard: Heard): Fit {
  // Sentences hold numbers between commas too; what guards them says that they are something else.
  const lines = heard.lines.filter((line) => !isSentence(line))
  const tables = SEPARATORS.map((separator) => readTable(lines, separator))
  // Of equally good ones the first wins: a single number needs no separator.
  const table = tables.reduce((best, one) => (one.good > best.good ? one : best))
  const likely = table.columns.filter(({ values }) => !isCounter(values))
  const chosen = likely[0] ?? table.columns[0]
  const { good } = table
  const all = heard.lines.length
  if (chosen === undefined) return { dialect: 'number', sure: 0, why: 'No column holds numbers.' }
  const clean = heard.strangeBytes > STRANGE_SHARE_MAX * heard.bytes ? 0 : 1
  const guess = likely.length > 1 ? GUESSED : 1
  const { separator } = table
  const { column } = chosen
  const where =
    separator === 'none' ? 'one number each' : `numbers in columns apart by ${separator}`
  const which = likely.length > 1 ? ` Which column is the angle is a guess: ${column}.` : ''
  return {
    dialect: 'number',
    sure: rounded(clean * guess * NUMBER_SURE_MAX * sureOf(good, all, NUMBER_DOUBT)),
    why: `${good} of ${all} lines are ${where}; nothing guards them against damage.${which}`,
    column: { separator, column },
  }
}

function readTable(lines: readonly string[], separator: Separator): Table {
  const rows = lines.map((line) => splitColumns(line, separator))
  const cellsOf = rows.map((row) => (row.ok ? row.cells : []))
  const widest = Math.max(0, ...cellsOf.map(({ length }) => length))
  const columns = Array.from({ length: widest }, (_, nth) => ({
    column: nth + 1,
    values: cellsOf
      .map((cells) => readCell(cells, nth + 1))
      .filter((value): value is number => value !== null && !Number.isNaN(value)),
  })).filter(({ values }) => values.length > lines.length / 2)
  return { separator, columns, good: Math.max(0, ...columns.map(({ values }) => values.length)) }
}

/** A column that grows by the same step each time counts lines or tells the time; an angle at rest does not grow. */
function isCounter(values: readonly number[]): boolean {
  const steps = values.slice(1).map((value, nth) => value - (values[nth] ?? 0))
  const [least, most] = [Math.min(...steps), Math.max(...steps)]
  return steps.length >= 3 && least > 0 && most <= 2 * least
}
