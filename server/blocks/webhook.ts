import { type Static, Type } from 'typebox'
import { defineBlock } from '../chain/block.ts'
import { strict } from '../chain/strict.ts'
import { hostParameter, portParameter, sendsNowhere, tapParameters, tapParts } from './tap-input.ts'

const parameters = strict({
  host: hostParameter("The receiver: a name or an IPv4 address on the shop's network."),
  port: portParameter(80),
  path: Type.String({
    pattern: "^/[A-Za-z0-9._~!$&'()*+,;=:@%/?-]*$",
    maxLength: 200,
    default: '/',
    description: 'What is asked of it: /bends, say. No place for a password.',
  }),
  ...tapParameters,
})
export type WebhookParameters = Static<typeof parameters>

/** Asks for posts to a receiver; the station sends them. */
export const webhook = defineBlock({
  kind: 'webhook',
  summary: 'Posts a value and events as JSON to an HTTP receiver in the shop.',
  parameters,
  ...tapParts,
  objection: sendsNowhere,
})
