import swagger from '@fastify/swagger'
import type { FastifyInstance } from 'fastify'
import type { TSchema } from 'typebox'
import { LiveMessage } from '../messages/live.ts'
import { refusalSchema } from './errors.ts'

const DESCRIPTION = `Everything the dashboard does goes through here. Angles are degrees from the
datum, lengths millimetres, times seconds. A refusal is always the same shape: a stable code, one
sentence, and the field at fault if there is one. Unknown keys are refused. The live stream is the
WebSocket at /live.`

const TAGS = [
  { name: 'station', description: 'The bender now: state, what to bend, what the operator says.' },
  { name: 'readout', description: 'How far the degrees can be trusted: calibrations and checks.' },
  { name: 'wire', description: 'Where lines come from, what they mean, what comes now.' },
  { name: 'chain', description: 'The dataflow from the wire to the record.' },
  { name: 'output', description: 'A buzzer, lamp or relay; an aid, never a safety function.' },
  { name: 'bends', description: 'The history, which only ever grows.' },
  { name: 'springback', description: 'What the bends have taught, and of which lot.' },
  { name: 'people', description: 'Who is enrolled, with which role, and who is signed in.' },
  { name: 'live', description: 'Degrees as they come.' },
  { name: 'service', description: 'Health, pairing, this document.' },
]

const json = (schema: TSchema) => ({ 'application/json': { schema } })

/** The OpenAPI document is made from the same schemas that check requests and write answers. */
export function addDocument(app: FastifyInstance, software: string): void {
  const openapi = {
    openapi: '3.1.0',
    info: { title: 'Overbend', version: software, description: DESCRIPTION.replaceAll('\n', ' ') },
    tags: TAGS,
    components: {
      schemas: { LiveMessage },
      responses: {
        NoSuchAddress: {
          description: 'What an address that is not in this document answers.',
          content: json(refusalSchema(['no-such-address', 'no-dashboard'])),
        },
        NotReadable: {
          description: 'What a request answers whose headers cannot be read, or come too late.',
          content: json(refusalSchema(['bad-request', 'headers-too-large', 'timed-out'])),
        },
      },
    },
  }
  // The plugin's types know OpenAPI 3.0 schemas only; TypeBox writes the JSON Schema of 3.1.
  app.register(swagger, { openapi: openapi as object })
}
