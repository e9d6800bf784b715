import { makeCertificate } from '../certificate/make-certificate.ts'
import type { History } from '../history/history.ts'
import { sealPaper } from '../history/paper-seal.ts'
import type { Bend } from '../messages/bends.ts'
import type { CertificateAsk } from '../messages/certificate.ts'
import type { BendFilter } from '../messages/find.ts'
import { inTurns, makeOneByOne } from '../web/in-turns.ts'
import type { CertificateDoor } from '../web/station-door.ts'
import { type CertifyParts, certify } from './certify.ts'

const PAGE_ROWS = 500

function* bendsOf(history: Pick<History, 'page' | 'bend'>, filter: BendFilter): Generator<Bend> {
  for (let after: number | null = 0; after !== null; ) {
    const from = after === 0 ? {} : { after }
    const page = history.page({ ...filter, ...from, order: 'oldest', limit: PAGE_ROWS })
    for (const { id } of page.bends) {
      const bend = history.bend(id)
      if (bend !== null) yield bend
    }
    after = page.nextAfter
  }
}

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
  const key = parts.signing()?.key
  if (attachment === null || key === undefined) return pdf
  return sealPaper(pdf, Buffer.from(attachment.bytes), key)
}

type DeskParts = Omit<CertifyParts, 'history'> & {
  readonly history: Pick<History, 'page' | 'bend' | 'actsOn' | 'count'>
}

/** The history of a daemon, as certificates are made of it. */
export const certifiedBy = (history: DeskParts['history']): CertifyParts['history'] => ({
  bends: (filter) => bendsOf(history, filter),
  actsOn: (bendId) => history.actsOn(bendId),
  newest() {
    const records = history.count()
    return { records, head: history.bend(records)?.hash ?? '' }
  },
})

/** Bends on paper, for all benders of a daemon. */
export function makeCertificateDesk({ history, ...rest }: DeskParts): CertificateDoor {
  const parts = { ...rest, history: certifiedBy(history) }
  const oneByOne = makeOneByOne()
  return { make: (ask, signal) => oneByOne(() => paperOf(parts, ask, signal)) }
}
