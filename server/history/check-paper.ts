import { createHash } from 'node:crypto'
import canonicalize from 'canonicalize'
import { type CheckedFile, checkSignedChunks } from './check-signed.ts'
import type { CheckingKey } from './key.ts'
import { type PaperSeal, SEAL_BEGIN, SEAL_VERSION } from './paper-seal.ts'

const PDF_BEGIN = '%PDF-'
const DIGEST = /^[0-9a-f]{64}$/

export const isPaper = (begin: Buffer) =>
  begin.subarray(0, PDF_BEGIN.length).toString('latin1') === PDF_BEGIN

const isCount = (value: unknown): value is number =>
  Number.isSafeInteger(value) && Number(value) >= 0

function sealOf(line: string): PaperSeal | null {
  try {
    const seal = JSON.parse(line) as Partial<PaperSeal> | null
    const isWhole =
      isCount(seal?.version) &&
      isCount(seal.bytes) &&
      isCount(seal.records?.at) &&
      isCount(seal.records.bytes) &&
      DIGEST.test(seal.sha256 ?? '') &&
      DIGEST.test(seal.fingerprint ?? '') &&
      typeof seal.signature === 'string'
    return isWhole && canonicalize(seal) === line ? (seal as PaperSeal) : null
  } catch {
    return null
  }
}

const fitsKey = ({ signature, ...signed }: PaperSeal, key: CheckingKey) =>
  key.fits(canonicalize(signed) ?? '', signature)

/** What is wrong with the seal, in a sentence; else the records inside. */
function sealed(paper: Buffer, key: CheckingKey): string | Buffer {
  const begin = paper.lastIndexOf(SEAL_BEGIN)
  if (begin < 0)
    return 'The certificate has no seal behind its end: it was not signed, or its end was cut off.'
  const line = paper.subarray(begin + SEAL_BEGIN.length)
  const end = line.indexOf('\n')
  if (end !== line.length - 1)
    return 'The certificate was cut off in its seal, or goes on behind it.'
  const seal = sealOf(line.subarray(0, -1).toString('utf8'))
  if (seal === null) return 'The seal of the certificate was altered: it cannot be read.'
  if (seal.version !== SEAL_VERSION)
    return `The seal has version ${seal.version}; this program reads version ${SEAL_VERSION}.`
  if (seal.fingerprint !== key.fingerprint)
    return `It is signed with another key: the certificate names the fingerprint ${seal.fingerprint}, the key given has ${key.fingerprint}.`
  if (!fitsKey(seal, key))
    return 'The seal of the certificate was altered: its signature does not fit it.'
  const whole = paper.subarray(0, begin)
  const sha256 = createHash('sha256').update(whole).digest('hex')
  if (seal.bytes !== begin || seal.sha256 !== sha256)
    return 'The certificate was altered: its bytes are not those that were signed.'
  return whole.subarray(seal.records.at, seal.records.at + seal.records.bytes)
}

/** Checks a certificate with a public key alone: every byte of the paper, then the records inside it. */
export function checkPaper(paper: Buffer, key: CheckingKey): CheckedFile {
  const records = sealed(paper, key)
  if (typeof records === 'string') {
    const none = { bends: 0, acts: 0, at: null, fingerprint: key.fingerprint }
    return { intact: false, why: records, ...none }
  }
  const found = checkSignedChunks([records], key)
  return found.intact ? found : { ...found, why: `The records inside: ${found.why}` }
}
