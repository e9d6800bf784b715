import { Type } from 'typebox'
import { CertificateAsk } from '../../messages/certificate.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'

/** A name as part of a file's name: letters and digits of any script, nothing that a path or a header could mind. */
const plain = (text: string) => text.replaceAll(/[^\p{L}\p{N}]+/gu, '-').replaceAll(/^-|-$/g, '')

function fileName({ part, piece, lot }: CertificateAsk): string {
  const names = [part, piece === undefined ? undefined : `piece-${piece}`, lot]
  const told = names.flatMap((text) => (text === undefined ? [] : [plain(String(text))]))
  return `${['bends', ...told].filter((text) => text !== '').join('-')}.pdf`
}

const Pdf = Type.Unsafe<Buffer>({ type: 'string', format: 'binary' })

/** GET /certificate: bends of a piece or a lot on paper, a page a piece. */
export const certificate: Resource = async (app, { certificates }) => {
  const said = answers(Pdf, { codes: ['bad-input', 'no-certificate', 'storage-failed'] })
  app.get(
    '/certificate',
    {
      config: { leaves: 'certificate' },
      schema: {
        tags: ['bends'],
        summary: 'A certificate of a piece or a lot, as PDF',
        querystring: CertificateAsk,
        produces: ['application/pdf'],
        response: { ...said, 200: { content: { 'application/pdf': { schema: Pdf } } } },
      },
    },
    async ({ query, signal }, reply) => {
      const pdf = await certificates.make(query, signal)
      const name = encodeURIComponent(fileName(query))
      return reply
        .type('application/pdf')
        .header('content-disposition', `attachment; filename*=UTF-8''${name}`)
        .send(pdf)
    },
  )
}
