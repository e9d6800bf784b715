import { restoreHistory } from '../history/restore.ts'
import { type AddCommand, printJson } from './command.ts'
import { counted, onHistory, withDataOptions } from './history-command.ts'

interface Options {
  readonly data: string
  readonly replace?: true
  readonly json?: true
}

/** `overbend restore`: puts a backup in a data folder, whole or not at all. */
export const restore: AddCommand = (program) => {
  withDataOptions(program.command('restore'))
    .description('Put a checked backup in a data folder that no daemon uses.')
    .argument('<file>', 'backup to restore')
    .option('--replace', 'put the history that is there aside, under a dated name')
    .action((file: string, options: Options) =>
      onHistory(async () => {
        const mayReplace = options.replace ?? false
        const restored = await restoreHistory(options.data, file, { mayReplace })
        if (options.json) return printJson(restored)
        const { records, sha256, keptAside } = restored
        process.stdout.write(`${counted(records)} in ${options.data}.\nSHA-256 ${sha256}\n`)
        if (keptAside !== null) process.stdout.write(`The history before is ${keptAside}\n`)
      }, ['HISTORY_NOT_INTACT', 'HISTORY_CORRUPT', 'HISTORY_NEWER']),
    )
}
