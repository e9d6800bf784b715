import { makeSigningKey, type SigningKey, signingKeyIn } from '../history/key.ts'
import { historyFileIn } from '../history/reader.ts'
import { type AddCommand, BadInput, printJson } from './command.ts'
import { onHistory, withDataOptions } from './history-command.ts'

interface Options {
  readonly data: string
  readonly make?: true
  readonly json?: true
}

function made(data: string): SigningKey {
  historyFileIn(data)
  if (signingKeyIn(data) !== null)
    throw new BadInput(`${data} has a key already: it stays as it is, nothing was done.`)
  return makeSigningKey(data)
}

/** `overbend key`: the key by which what leaves the folder is signed. */
export const key: AddCommand = (program) => {
  withDataOptions(program.command('key'))
    .description('Make the key that signs exports, or print the public key to hand out.')
    .option('--make', 'make the key (Ed25519); one that is there is never written over')
    .action(({ data, make, json }: Options) =>
      onHistory(() => {
        const found = make ? made(data) : signingKeyIn(data)
        if (found === null)
          throw new BadInput(`${data} has no key yet: make one with overbend key --make.`)
        const { fingerprint, publicPem } = found
        if (json) printJson({ fingerprint, publicPem })
        else process.stdout.write(`${publicPem}Fingerprint ${fingerprint}\n`)
      }),
    )
}
