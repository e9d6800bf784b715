import { backUp } from '../history/backup.ts'
import { exists, folderFiles } from '../history/folder.ts'
import { type AddCommand, printJson } from './command.ts'
import { counted, onHistory, withDataOptions } from './history-command.ts'

interface Options {
  readonly data: string
  readonly replace?: true
  readonly json?: true
}

/** Whoever has the private key signs in the shop's name: it goes into no copy by itself. */
function aboutKey(dataDir: string): string {
  const { privateKey, publicKey } = folderFiles(dataDir)
  if (!exists(privateKey)) return ''
  return `Not in it: the key that signs exports, ${privateKey}. Keep ${publicKey} with the copy, since what was signed is checked by it; without the private key a restored shop makes a new one.\n`
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
            `${counted(copied.records)} in ${file}, checked.\nSHA-256 ${copied.sha256}\n${aboutKey(options.data)}`,
          )
      }),
    )
}
