import { type Restored, restoreBeside, restoreHistory } from '../history/restore.ts'
import { type AddCommand, BadInput, printJson } from './command.ts'
import { counted, onHistory, withDataOptions } from './history-command.ts'

interface Options {
  readonly data: string
  readonly replace?: true
  readonly beside?: string
  readonly json?: true
}

function sentences(dataDir: string, restored: Restored): string {
  const { records, sha256, keptAside, asideChecked } = restored
  const now = `${counted(records)} in ${dataDir}.\nSHA-256 of the backup ${sha256}\n`
  if (keptAside === null) return now
  const found =
    asideChecked === null
      ? 'not intact, as it was'
      : `${counted(asideChecked.records)}, intact, SHA-256 ${asideChecked.sha256}`
  return `${now}The history before is ${keptAside}\n(${found})\n`
}

async function putBeside(file: string, name: string, { data, json }: Options): Promise<void> {
  const restored = await restoreBeside(data, file, name)
  if (json) printJson(restored)
  else
    process.stdout.write(
      `${counted(restored.records)} in ${restored.file}, beside the history of ${data}.\nSHA-256 ${restored.sha256}\n`,
    )
}

async function putInPlace(file: string, { data, replace, json }: Options): Promise<void> {
  const restored = await restoreHistory(data, file, { mayReplace: replace ?? false })
  if (json) printJson(restored)
  else process.stdout.write(sentences(data, restored))
}

/** `overbend restore`: puts a backup in a data folder, whole or not at all. */
export const restore: AddCommand = (program) => {
  withDataOptions(program.command('restore'))
    .description(
      'Put a checked backup in a data folder that no daemon uses, or beside its history.',
    )
    .argument('<file>', 'backup to restore')
    .option('--replace', 'put the history that is there aside, under a dated name')
    .option(
      '--beside <name>',
      'leave the history that is there in force, and keep the backup in <dir>/beside/<name>.sqlite to read',
    )
    .action((file: string, options: Options) =>
      onHistory(async () => {
        if (options.beside !== undefined && options.replace)
          throw new BadInput('--beside replaces nothing: leave out --replace.')
        if (options.beside === undefined) return await putInPlace(file, options)
        await putBeside(file, options.beside, options)
      }, ['HISTORY_NOT_INTACT', 'HISTORY_CORRUPT', 'HISTORY_NEWER']),
    )
}
