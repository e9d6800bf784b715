import { makeCertificate } from '../certificate/make-certificate.ts'
import type { History } from '../history/history.ts'
import { sealPaper } from '../history/paper-seal.ts'
import type { CertificateAsk } from '../messages/certificate.ts'
import { inTurns, makeOneByOne } from '../web/in-turns.ts'
import type { CertificateDoor } from '../web/station-door.ts'
import { type CertifyParts, certify } from './certify.ts'
import { bendsFound } from './standing-bends.ts'

/**
 * The bytes of a certificate, made in steps; sealed where there is a key to sign by.
 *
 * @param signal Ends it with its reason when whoever asked has left.
 */
export async function paperOf(
  parts: CertifyParts,
  ask: CertificateAsk,
  signal?: AbortSignal,
): Promise<Buffer> {
  signal?.throwIfAborted()
  const certificate = await certify(parts, ask, signal)
  const pdf = await inTurns(makeCertificate(certificate), signal)
  const { attachment } = certificate
  if (attachment === null || parts.signing === null) return pdf
  return sealPaper(pdf, Buffer.from(attachment.bytes), parts.signing.key)
}

type DeskParts = Omit<CertifyParts, 'history' | 'signing'> & {
  readonly history: Pick<History, 'page' | 'bend' | 'actsOn' | 'count'>
  /** Asked for each certificate: a key that was made meanwhile is found. */
  readonly signing: () => CertifyParts['signing']
}

/** The history of a daemon, as certificates are made of it. */
export const certifiedBy = (history: DeskParts['history']): CertifyParts['history'] => ({
  bends: (filter) => bendsFound(history, filter),
  actsOn: (bendId) => history.actsOn(bendId),
  newest() {
    const records = history.count()
    return { records, head: history.bend(records)?.hash ?? '' }
  },
})

/** Bends on paper, for all benders of a daemon. */
export function makeCertificateDesk({ history, signing, ...rest }: DeskParts): CertificateDoor {
  const parts = { ...rest, history: certifiedBy(history) }
  const oneByOne = makeOneByOne()
  return {
    make: (ask, signal) => oneByOne(() => paperOf({ ...parts, signing: signing() }, ask, signal)),
  }
}
