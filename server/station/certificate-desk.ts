import { makeCertificate } from '../certificate/make-certificate.ts'
import type { CertificateDoor } from '../web/station-door.ts'
import { type CertifyParts, certify } from './certify.ts'

/** Bends on paper, for all benders of a daemon. */
export const makeCertificateDesk = (parts: CertifyParts): CertificateDoor => ({
  make: async (ask) => makeCertificate(await certify(parts, ask)),
})
