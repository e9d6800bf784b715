import { hash, verify } from '@node-rs/argon2'

/** What a password is kept as, and whether one fits. Both take their time, beside the live angle and not before it. */
export interface Passwords {
  hash(password: string): Promise<string>
  /** `kept` null: nobody has that name; it takes as long and never fits. */
  fits(kept: string | null, password: string): Promise<boolean>
}

/**
 * Argon2id with 19 MiB, two passes, one lane (OWASP Password Storage Cheat Sheet, from memory); the number of the
 * algorithm is that of the package.
 */
const OPTIONS = { algorithm: 2, memoryCost: 19_456, timeCost: 2, parallelism: 1 } as const

export function makePasswords(): Passwords {
  let nobodys: Promise<string> | null = null
  const hashed = (password: string) => hash(password.normalize('NFKC'), OPTIONS)
  return {
    hash: hashed,
    async fits(kept, password) {
      nobodys ??= hashed('nobody has this password')
      const fits = await verify(kept ?? (await nobodys), password.normalize('NFKC'))
      return fits && kept !== null
    },
  }
}
