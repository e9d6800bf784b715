import { CERTIFICATE_BENDS_MAX } from '../../../server/messages/certificate-max.ts'
import { checkWords as say } from '../../words/en-check.ts'
import { conditionsOf, type Filter, type FilterName, queryOfFilter } from './filter-address.ts'

/** What a certificate can be asked for by. */
const BY: readonly FilterName[] = ['part', 'piece', 'lot']

interface CertificateOffered {
  readonly name: string
  /** As the daemon is asked. */
  readonly query: URLSearchParams
  /** More than one certificate holds: why it cannot be had, in a sentence. */
  readonly tooMany: string | null
}

/**
 * The certificate of just what a filter finds: of a lot, or of a piece; null where it asks for anything else besides, or
 * where nothing was found. `total`: bends found.
 */
export function certificateOf(filter: Filter, total: number): CertificateOffered | null {
  const asked = conditionsOf(filter)
  const names = new Set(asked.map(([name]) => name))
  const isPiece = names.has('part') && names.has('piece')
  const isLot = names.has('lot') && names.size === 1
  if (!(total > 0 && (isPiece || isLot) && asked.every(([name]) => BY.includes(name)))) return null
  return {
    name: isPiece ? say.ofPiece : say.ofLot,
    query: queryOfFilter(filter),
    tooMany: total > CERTIFICATE_BENDS_MAX ? say.tooMany(CERTIFICATE_BENDS_MAX) : null,
  }
}
