import {
  createHash,
  createPrivateKey,
  createPublicKey,
  generateKeyPairSync,
  type KeyObject,
  sign,
  verify,
} from 'node:crypto'
import { readFileSync, writeFileSync } from 'node:fs'
import { exists, folderFiles, settle } from './folder.ts'

/** Reading the private key is for the owner of the folder alone. */
const PRIVATE_MODE = 0o600

/** A key of this folder. `fingerprint`: SHA-256 of the public key (SPKI, DER), hexadecimal. */
export interface SigningKey {
  readonly fingerprint: string
  readonly publicPem: string
  /** Ed25519 (RFC 8032) over the text in UTF-8; base64, 64 bytes. */
  sign(text: string): string
}

/** A public key that was handed out. */
export interface CheckingKey {
  readonly fingerprint: string
  /** One spelling of a signature only: base64 is otherwise read with anything in or behind it. */
  fits(text: string, signature: string): boolean
}

const fingerprintOf = (key: KeyObject) =>
  createHash('sha256')
    .update(key.export({ type: 'spki', format: 'der' }))
    .digest('hex')

function onlyEd25519(key: KeyObject): KeyObject {
  if (key.asymmetricKeyType === 'ed25519') return key
  throw new TypeError('it is no Ed25519 key')
}

function signingKeyOf(privatePem: string): SigningKey {
  const key = onlyEd25519(createPrivateKey(privatePem))
  const open = createPublicKey(key)
  return {
    fingerprint: fingerprintOf(open),
    publicPem: open.export({ type: 'spki', format: 'pem' }).toString(),
    sign: (text) => sign(null, Buffer.from(text, 'utf8'), key).toString('base64'),
  }
}

/** The key of a data folder; null where none was made. @throws Error where the file holds no Ed25519 key. */
export function signingKeyIn(dataDir: string): SigningKey | null {
  const { privateKey } = folderFiles(dataDir)
  return exists(privateKey) ? signingKeyOf(readFileSync(privateKey, 'utf8')) : null
}

/** Makes the key of a data folder. @throws Error `EEXIST` where there is one: it is never written over. */
export function makeSigningKey(dataDir: string): SigningKey {
  const { privateKey, publicKey } = folderFiles(dataDir)
  const pair = generateKeyPairSync('ed25519')
  const pem = pair.privateKey.export({ type: 'pkcs8', format: 'pem' }).toString()
  writeFileSync(privateKey, pem, { mode: PRIVATE_MODE, flag: 'wx', flush: true })
  const made = signingKeyOf(pem)
  writeFileSync(publicKey, made.publicPem, { flush: true })
  settle(dataDir)
  return made
}

/** @throws Error where the text holds no Ed25519 public key; a private one is refused, it belongs nowhere else. */
export function checkingKeyOf(publicPem: string): CheckingKey {
  if (publicPem.includes('PRIVATE KEY')) throw new TypeError('it is a private key')
  const key = onlyEd25519(createPublicKey(publicPem))
  return {
    fingerprint: fingerprintOf(key),
    fits(text, signature) {
      const bytes = Buffer.from(signature, 'base64')
      return (
        bytes.toString('base64') === signature &&
        verify(null, Buffer.from(text, 'utf8'), key, bytes)
      )
    },
  }
}
