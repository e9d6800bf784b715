import { backUp } from '../history/backup.ts'
import { type AddCommand, printJson } from './command.ts'
import { counted, onHistory, withDataOptions } from './history-command.ts'

interface Options {
  readonly data: string
  readonly replace?: true
  readonly json?: true
}

/** `overbend backup`: a checked copy in one file, also while the daemon runs. */
export const backup: AddCommand = (program) => {
  withDataOptions(program.command('backup'))
    .description('Write a checked copy of a history into one file, also while the daemon runs.')
    .argument('<file>', 'file to write')
    .option('--replace', 'replace the file if it exists')
    .action((file: string, options: Options) =>
      onHistory(async () => {
        const mayReplace = options.replace ?? false
        const copied = await backUp(options.data, file, { mayReplace })
        if (options.json) printJson(copied)
        else
          process.stdout.write(
            `${counted(copied.records)} in ${file}, checked.\nSHA-256 ${copied.sha256}\n`,
          )
      }),
    )
}
