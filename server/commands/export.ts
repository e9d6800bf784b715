import { createWriteStream, renameSync, rmSync } from 'node:fs'
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { Option } from 'commander'
import { namingAsync } from '../history/disk-errors.ts'
import { csvOf, jsonOf } from '../history/export.ts'
import { typedMs } from '../history/iso-time.ts'
import { openReader } from '../history/reader.ts'
import { checkTarget, partialOf } from '../history/target.ts'
import type { BendFilter } from '../messages/find.ts'
import { catalogueFrom } from './blocks-option.ts'
import { type AddCommand, BadInput, printJson } from './command.ts'
import { paperIn, signingIn } from './export-paper.ts'
import { filterIn } from './filter-option.ts'
import { counted, onHistory, withDataOptions } from './history-command.ts'

const PIECE_MAX = 1_000_000
const FORMATS = ['csv', 'json', 'signed', 'pdf'] as const
/** What a certificate is of. */
const CERTIFIED: readonly string[] = ['part', 'piece', 'lot']
type Format = (typeof FORMATS)[number]

interface Options extends Pick<BendFilter, 'from' | 'to' | 'part' | 'piece' | 'lot'> {
  readonly data: string
  readonly filter?: BendFilter
  readonly format?: Format
  readonly out?: string
  readonly bom?: true
  readonly blocks?: string
  readonly replace?: true
  readonly json?: true
}

const timeOf = (flag: string) => (text: string) => {
  if (typedMs(text) === null)
    throw new BadInput(`${flag} takes a day or a time (ISO 8601), got "${text}".`)
  return text
}

function formatOf(text: string): string {
  if (FORMATS.some((known) => known === text)) return text
  throw new BadInput(`--format takes csv, json, signed or pdf, got "${text}".`)
}

function pieceOf(text: string): number {
  const piece = Number(text)
  if (/^[1-9]\d{0,6}$/.test(text) && piece <= PIECE_MAX) return piece
  throw new BadInput(`--piece takes a whole number from 1 to ${PIECE_MAX}, got "${text}".`)
}

function filterOf({ filter, from, to, part, piece, lot }: Options): BendFilter {
  return {
    ...filter,
    ...(piece !== undefined && { piece }),
    ...(from !== undefined && { from }),
    ...(to !== undefined && { to }),
    ...(part !== undefined && { part }),
    ...(lot !== undefined && { lot }),
  }
}

/** Standard output is to be one JSON document, or the export itself. */
function formatFor({ format, json, out }: Options): Format {
  if (json && out === undefined && format === 'csv')
    throw new BadInput('--json with --format csv needs --out, since both want standard output.')
  return format ?? (json && out === undefined ? 'json' : 'csv')
}

/** A reader that has seen enough, such as `head`, is no failure. */
async function toStandardOutput(text: Iterable<string | Buffer>): Promise<void> {
  try {
    await pipeline(Readable.from(text), process.stdout, { end: false })
  } catch (error) {
    const isClosed = error instanceof Error && 'code' in error && error.code === 'EPIPE'
    if (!isClosed) throw error
  }
}

async function toFile(
  text: Iterable<string | Buffer>,
  file: string,
  options: Options,
): Promise<void> {
  const mayReplace = options.replace ?? false
  checkTarget(file, options.data, mayReplace, 'export')
  const partial = partialOf(file)
  await namingAsync(file, async () => {
    try {
      await pipeline(Readable.from(text), createWriteStream(partial, { flush: true }))
      checkTarget(file, options.data, mayReplace, 'export')
      renameSync(partial, file)
    } finally {
      rmSync(partial, { force: true })
    }
  })
}

function* counting<T>(items: Iterable<T>, count: () => void): Generator<T> {
  for (const item of items) {
    count()
    yield item
  }
}

function signedFor(options: Options): Iterable<string> {
  const signing = signingIn(options.data, Date.now)
  if (signing === null)
    throw new BadInput(
      `${options.data} has no key to sign with: make one with overbend key --make.`,
    )
  return signing.lines(filterOf(options))
}

async function writeSigned(options: Options): Promise<void> {
  const text = signedFor(options)
  const { out } = options
  if (out === undefined) return await toStandardOutput(text)
  await toFile(text, out, options)
  if (options.json) printJson({ file: out, format: 'signed' })
  else process.stdout.write(`Signed export in ${out}.\n`)
}

/** A certificate: the traces are run again as in the daemon. */
async function writePaper(options: Options): Promise<void> {
  const { data, out } = options
  const others = Object.keys(filterOf(options)).filter((name) => !CERTIFIED.includes(name))
  if (others.length > 0)
    throw new BadInput(
      `A certificate is of a part, a piece or a lot: leave out ${others.join(' and ')}.`,
    )
  if (options.json && out === undefined)
    throw new BadInput('--json with --format pdf needs --out, since both want standard output.')
  const { blocks } = await catalogueFrom(options.blocks)
  const paper = await paperIn(data, blocks, filterOf(options))
  if (out === undefined) return await toStandardOutput([paper])
  await toFile([paper], out, options)
  if (options.json) printJson({ file: out, format: 'pdf' })
  else process.stdout.write(`Certificate in ${out}.\n`)
}

async function writeExport(options: Options): Promise<void> {
  const format = formatFor(options)
  if (format === 'pdf') return await writePaper(options)
  if (format === 'signed') return await writeSigned(options)
  const reader = openReader(options.data)
  let records = 0
  try {
    const bends = counting(reader.bends(filterOf(options)), () => {
      records += 1
    })
    const { actsOn } = reader
    const text =
      format === 'json' ? jsonOf(bends, actsOn) : csvOf(bends, options.bom ?? false, actsOn)
    if (options.out === undefined) return await toStandardOutput(text)
    await toFile(text, options.out, options)
    if (options.json) printJson({ records, file: options.out, format })
    else process.stdout.write(`${counted(records)} in ${options.out}.\n`)
  } finally {
    reader.close()
  }
}

/** Of what is printed, not of what is written: that is what `--format` says. */
const JSON_HELP =
  'print one JSON document: the bends themselves, or with --out how many were written'

/** `overbend export`: the history for a spreadsheet, another program or on paper. */
export const exportBends: AddCommand = (program) => {
  withDataOptions(program.command('export'), JSON_HELP)
    .description(
      'Write the bends of a history as CSV, JSON or a certificate, also while the daemon runs.',
    )
    .option('--from <time>', 'started at or after, ISO 8601', timeOf('--from'))
    .option('--to <time>', 'started before, ISO 8601', timeOf('--to'))
    .option('--part <part>', 'only this part')
    .option('--piece <number>', 'only this piece of the part', pieceOf)
    .option('--lot <lot>', 'only this lot')
    .option(
      '--filter <address>',
      'all that the page of the history finds: its address, or what stands behind the ? there',
      filterIn,
    )
    .addOption(
      new Option(
        '--format <format>',
        'csv (default); json: an array of whole records; signed: records and acts with signature; pdf: a certificate of a part, a piece or a lot',
      ).argParser(formatOf),
    )
    .option('--out <file>', 'file to write instead of standard output')
    .option('--replace', 'replace the file if it exists')
    .option('--blocks <dir>', 'for pdf: folder of own blocks, where bends were seen with them')
    .option('--bom', 'begin CSV with a byte order mark, which some spreadsheets need')
    .action((options: Options) => onHistory(() => writeExport(options)))
}
