import type { Verified, VerifiedLog } from '../history/history.ts'
import { verifyFolder } from '../history/reader.ts'
import { type AddCommand, BadInput, printJson } from './command.ts'
import { counted, onHistory, withDataOptions } from './history-command.ts'

interface Options {
  readonly data: string
  readonly head?: string
  readonly json?: true
}

const EXIT_BROKEN = 1
const HASH = /^[0-9a-f]{64}$/

function anchorOf(head: string | undefined): string | undefined {
  const anchor = head?.trim().toLowerCase()
  if (anchor !== undefined && !HASH.test(anchor))
    throw new BadInput(`--head takes a hash of 64 hexadecimal digits, got "${head}".`)
  return anchor
}

const inLog = (name: string, { entries, head }: VerifiedLog) =>
  entries === 0 ? '' : `${name}: ${entries} ${entries === 1 ? 'entry' : 'entries'}, head ${head}\n`

function sentences(
  { records, intact, why, head, readout, acts, chains, people }: Verified,
  isAnchored: boolean,
): string {
  if (!intact) return `${counted(records)}, NOT intact. ${why}\n`
  const end = isAnchored
    ? 'The head given is among them.'
    : 'Keep each head elsewhere: only verify --head shows an end that was cut off.'
  const logs = `${inLog('Readout log', readout)}${inLog('Log of acts', acts)}${inLog('Log of chains', chains)}${inLog('Log of people', people)}`
  return `${counted(records)}, intact.\nHead ${head}\n${logs}${end}\n`
}

/** `overbend verify`: the hash chain, the raw lines and the columns, record by record. */
export const verify: AddCommand = (program) => {
  withDataOptions(program.command('verify'))
    .description('Check that no record of a history was altered, removed or moved.')
    .option(
      '--head <hash>',
      'head noted at an earlier check, of the bends or of a log; it must be among them',
    )
    .addHelpText('after', '\nExits 0 if the history is intact, 1 if it is not.')
    .action((options: Options) =>
      onHistory(() => {
        const anchor = anchorOf(options.head)
        const found = verifyFolder(options.data, anchor)
        if (options.json) printJson(found)
        else process.stdout.write(sentences(found, anchor !== undefined))
        if (!found.intact) process.exitCode = EXIT_BROKEN
      }),
    )
}
