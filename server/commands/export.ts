import { createWriteStream, renameSync, rmSync } from 'node:fs'
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { Option } from 'commander'
import { namingAsync } from '../history/disk-errors.ts'
import { csvOf, jsonOf } from '../history/export.ts'
import { isoWithOffset, typedMs } from '../history/iso-time.ts'
import { signingKeyIn } from '../history/key.ts'
import { openReader } from '../history/reader.ts'
import { signedLines } from '../history/signed-export.ts'
import { checkTarget, partialOf } from '../history/target.ts'
import type { BendFilter } from '../messages/find.ts'
import { software } from '../version.ts'
import { type AddCommand, BadInput, printJson } from './command.ts'
import { counted, onHistory, withDataOptions } from './history-command.ts'

type Format = 'csv' | 'json' | 'signed'

interface Options extends BendFilter {
  readonly data: string
  readonly format?: Format
  readonly out?: string
  readonly bom?: true
  readonly replace?: true
  readonly json?: true
}

const timeOf = (flag: string) => (text: string) => {
  if (typedMs(text) === null)
    throw new BadInput(`${flag} takes a day or a time (ISO 8601), got "${text}".`)
  return text
}

function formatOf(text: string): string {
  if (text === 'csv' || text === 'json' || text === 'signed') return text
  if (text === 'pdf')
    throw new BadInput('--format pdf is not in this version: take csv, json or signed.')
  throw new BadInput(`--format takes csv, json or signed, got "${text}".`)
}

function filterOf({ from, to, part, lot }: Options): BendFilter {
  return {
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
async function toStandardOutput(text: Iterable<string>): Promise<void> {
  try {
    await pipeline(Readable.from(text), process.stdout, { end: false })
  } catch (error) {
    const isClosed = error instanceof Error && 'code' in error && error.code === 'EPIPE'
    if (!isClosed) throw error
  }
}

async function toFile(text: Iterable<string>, file: string, options: Options): Promise<void> {
  const mayReplace = options.replace ?? false
  checkTarget(file, options.data, mayReplace)
  const partial = partialOf(file)
  await namingAsync(file, async () => {
    try {
      await pipeline(Readable.from(text), createWriteStream(partial, { flush: true }))
      checkTarget(file, options.data, mayReplace)
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
  const key = signingKeyIn(options.data)
  if (key === null)
    throw new BadInput(
      `${options.data} has no key to sign with: make one with overbend key --make.`,
    )
  const at = isoWithOffset(Date.now())
  return signedLines(options.data, { filter: filterOf(options), key, at, software })
}

async function writeSigned(options: Options): Promise<void> {
  const text = signedFor(options)
  const { out } = options
  if (out === undefined) return await toStandardOutput(text)
  await toFile(text, out, options)
  if (options.json) printJson({ file: out, format: 'signed' })
  else process.stdout.write(`Signed export in ${out}.\n`)
}

async function writeExport(options: Options): Promise<void> {
  const format = formatFor(options)
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

/** `overbend export`: the history for a spreadsheet or another program, in constant memory. */
export const exportBends: AddCommand = (program) => {
  withDataOptions(program.command('export'), JSON_HELP)
    .description('Write the bends of a history as CSV or JSON, also while the daemon runs.')
    .option('--from <time>', 'started at or after, ISO 8601', timeOf('--from'))
    .option('--to <time>', 'started before, ISO 8601', timeOf('--to'))
    .option('--part <part>', 'only this part')
    .option('--lot <lot>', 'only this lot')
    .addOption(
      new Option(
        '--format <format>',
        'csv (default); json: an array of whole records; signed: records and acts with signature',
      ).argParser(formatOf),
    )
    .option('--out <file>', 'file to write instead of standard output')
    .option('--replace', 'replace the file if it exists')
    .option('--bom', 'begin CSV with a byte order mark, which some spreadsheets need')
    .action((options: Options) => onHistory(() => writeExport(options)))
}
