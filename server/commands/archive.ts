import { archivesIn, type CheckedArchive, checkArchive, makeArchive } from '../history/archive.ts'
import { HistoryError } from '../history/errors.ts'
import type { Archived } from '../messages/archives.ts'
import { software } from '../version.ts'
import { askDaemon } from './ask-daemon.ts'
import { type AddCommand, BadInput, printJson } from './command.ts'
import { counted, onHistory, withDataOptions } from './history-command.ts'

interface Options {
  readonly data: string
  readonly before?: string
  readonly who?: string
  readonly out?: string
  readonly daemon?: string
  readonly json?: true
}

const EXIT_WRONG = 1

const made = ({ file, records, recordsBefore, head, sha256, act }: Archived, before: string) =>
  [
    `${counted(records)} in ${file}, checked; ${recordsBefore} of them from before ${before}.`,
    `Head ${head}`,
    `SHA-256 ${sha256}`,
    `Noted as act ${act}. The history keeps every record.`,
    '',
  ].join('\n')

function found({ file, records, intact, why, act }: CheckedArchive): string {
  if (!intact) return `${file}: NOT intact. ${why}\n`
  const end = why ?? `The history goes on from it; noted as act ${act}.`
  return `${file}: ${counted(records)}, intact. ${end}\n`
}

/** By this process; or by the daemon that has the folder, since whoever records is the one who writes. */
async function archivedBy(
  { data, who, out, daemon }: Options & { readonly who: string },
  before: string,
): Promise<Archived> {
  if (daemon !== undefined) {
    if (out !== undefined)
      throw new BadInput('--out is not for --daemon: it archives in its own folder.')
    return (await askDaemon(daemon, '/api/archives', { who, before })) as Archived
  }
  try {
    return await makeArchive(data, { before, who, software, toFile: out })
  } catch (error) {
    if (!(error instanceof HistoryError && error.code === 'HISTORY_IN_USE')) throw error
    throw new BadInput(
      `A daemon uses ${data}: let it archive, with --daemon and the address that it printed.`,
      { cause: error },
    )
  }
}

async function make(options: Options, before: string): Promise<void> {
  const { who } = options
  if (who === undefined) throw new BadInput('--who names the one who archives, and is needed.')
  const archived = await archivedBy({ ...options, who }, before)
  if (options.json) printJson(archived)
  else process.stdout.write(made(archived, before))
}

async function check({ data, json }: Options, files: readonly string[]): Promise<void> {
  const all: CheckedArchive[] = []
  for (const file of files.length > 0 ? files : archivesIn(data))
    all.push(await checkArchive(data, file))
  if (json) printJson(all)
  else process.stdout.write(all.map(found).join('') || `There is no archive in ${data}.\n`)
  if (all.some(({ why }) => why !== null)) process.exitCode = EXIT_WRONG
}

/** `overbend archive`: years that are over, in a file of their own that can be checked years later. */
export const archive: AddCommand = (program) => {
  withDataOptions(program.command('archive'))
    .description('Archive the years that are over; without --before, check the archives there are.')
    .argument('[files...]', 'archives to check elsewhere, such as on a stick')
    .option('--before <day>', 'archive all records that were started before this day, ISO 8601')
    .option('--who <name>', 'who archives')
    .option('--daemon <url>', 'let the daemon that uses the folder do it: the address it printed')
    .option('--out <file>', 'file to write (default: <dir>/archive/before-<day>.sqlite)')
    .addHelpText('after', '\nNothing is taken out of the history. Exits 1 if an archive is wrong.')
    .action((files: string[], options: Options) =>
      onHistory(async () => {
        if (options.before === undefined) return await check(options, files)
        if (files.length > 0) throw new BadInput('--before checks no files: leave them out.')
        await make(options, options.before)
      }),
    )
}
