import { readFileSync } from 'node:fs'
import { type CheckedFile, checkSignedFile } from '../history/check-signed.ts'
import { isFile } from '../history/folder.ts'
import type { Verified, VerifiedLog } from '../history/history.ts'
import { type CheckingKey, checkingKeyOf } from '../history/key.ts'
import { verifyFolder } from '../history/reader.ts'
import { type AddCommand, BadInput, printJson } from './command.ts'
import { counted, onHistory } from './history-command.ts'

interface Options {
  readonly data?: string
  readonly key?: string
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

function keyIn(file: string): CheckingKey {
  try {
    return checkingKeyOf(readFileSync(file, 'utf8'))
  } catch {
    throw new BadInput(`--key takes the file of an Ed25519 public key (PEM), got "${file}".`)
  }
}

function signedSentences({ intact, why, bends, acts, at, fingerprint }: CheckedFile): string {
  if (!intact) return `NOT intact. ${why}\n`
  const held = `${bends} ${bends === 1 ? 'bend' : 'bends'} and ${acts} ${acts === 1 ? 'act' : 'acts'}`
  return `${held} of ${at}, intact and signed.\nFingerprint ${fingerprint}\n`
}

function checkedFile(file: string, { key, data, head }: Options): CheckedFile {
  if (key === undefined) throw new BadInput('A signed file is checked with --key and a public key.')
  if (data !== undefined || head !== undefined)
    throw new BadInput('A signed file is checked by itself: leave out --data and --head.')
  if (!isFile(file)) throw new BadInput(`There is no file ${file}.`)
  return checkSignedFile(file, keyIn(key))
}

function verifyFile(file: string, options: Options): void {
  const found = checkedFile(file, options)
  if (options.json) printJson(found)
  else process.stdout.write(signedSentences(found))
  if (!found.intact) process.exitCode = EXIT_BROKEN
}

function verifyData({ data, head, key, json }: Options): void {
  if (key !== undefined) throw new BadInput('--key is for a signed file: name the file, too.')
  if (data === undefined) throw new BadInput("required option '--data <dir>' not specified.")
  const anchor = anchorOf(head)
  const found = verifyFolder(data, anchor)
  if (json) printJson(found)
  else process.stdout.write(sentences(found, anchor !== undefined))
  if (!found.intact) process.exitCode = EXIT_BROKEN
}

/** `overbend verify`: the hash chain, the raw lines and the columns, record by record; or a signed export by itself. */
export const verify: AddCommand = (program) => {
  program
    .command('verify')
    .argument('[file]', 'a signed export, checked with --key alone')
    .description(
      'Check that no record of a history, or of a signed export, was altered or removed.',
    )
    .option('--data <dir>', 'data folder of the history')
    .option('--key <file>', 'public key that was handed out (PEM)')
    .option(
      '--head <hash>',
      'head noted at an earlier check, of the bends or of a log; it must be among them',
    )
    .option('--json', 'print one JSON document and nothing else')
    .addHelpText('after', '\nExits 0 if all is intact, 1 if it is not.')
    .action((file: string | undefined, options: Options) =>
      onHistory(() => (file === undefined ? verifyData(options) : verifyFile(file, options))),
    )
}
