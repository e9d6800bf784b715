import { closeSync, openSync, readFileSync, readSync } from 'node:fs'
import { checkPaper, isPaper } from '../history/check-paper.ts'
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
const BEGIN_BYTES = 16
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
  { records, intact, why, head, readout, acts, chains, people, exports }: Verified,
  isAnchored: boolean,
): string {
  if (!intact) return `${counted(records)}, NOT intact. ${why}\n`
  const end = isAnchored
    ? 'The head given is among them.'
    : 'Keep each head elsewhere: only verify --head shows an end that was cut off.'
  const logs = `${inLog('Readout log', readout)}${inLog('Log of acts', acts)}${inLog('Log of chains', chains)}${inLog('Log of people', people)}${inLog('Log of exports', exports)}`
  return `${counted(records)}, intact.\nHead ${head}\n${logs}${end}\n`
}

function keyIn(file: string): CheckingKey {
  try {
    return checkingKeyOf(readFileSync(file, 'utf8'))
  } catch {
    throw new BadInput(`--key takes the file of an Ed25519 public key (PEM), got "${file}".`)
  }
}

function signedSentences(found: CheckedFile, isCertificate: boolean): string {
  const { intact, why, bends, acts, at, fingerprint } = found
  if (!intact) return `NOT intact. ${why}\n`
  const what = isCertificate ? 'Certificate, unaltered; inside ' : ''
  const held = `${what}${bends} ${bends === 1 ? 'bend' : 'bends'} and ${acts} ${acts === 1 ? 'act' : 'acts'}`
  return `${held} of ${at}, intact and signed.\nFingerprint ${fingerprint}\n`
}

/** Its first bytes. */
function beginOf(file: string): Buffer {
  const begin = Buffer.alloc(BEGIN_BYTES)
  const handle = openSync(file, 'r')
  try {
    return begin.subarray(0, readSync(handle, begin))
  } finally {
    closeSync(handle)
  }
}

function checkedFile(file: string, { key, data, head }: Options) {
  if (key === undefined) throw new BadInput('A signed file is checked with --key and a public key.')
  if (data !== undefined || head !== undefined)
    throw new BadInput('A signed file is checked by itself: leave out --data and --head.')
  if (!isFile(file)) throw new BadInput(`There is no file ${file}.`)
  const checking = keyIn(key)
  if (!isPaper(beginOf(file)))
    return { isCertificate: false, found: checkSignedFile(file, checking) }
  return { isCertificate: true, found: checkPaper(readFileSync(file), checking) }
}

function verifyFile(file: string, options: Options): void {
  const { found, isCertificate } = checkedFile(file, options)
  if (options.json) printJson(found)
  else process.stdout.write(signedSentences(found, isCertificate))
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
    .argument('[file]', 'a signed export or certificate, checked with --key alone')
    .description(
      'Check that no record of a history, of a signed export or of a certificate was altered or removed.',
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
