import { type Static, Type } from 'typebox'
import { defineBlock } from '../chain/block.ts'
import { strict } from '../chain/strict.ts'
import { hostParameter, portParameter, sendsNowhere, tapParameters, tapParts } from './tap-input.ts'

const LEVEL = '[A-Za-z0-9_.-]+'

const parameters = strict({
  host: hostParameter("The broker: a name or an IPv4 address on the shop's network."),
  port: portParameter(1883),
  topic: Type.String({
    pattern: `^${LEVEL}(/${LEVEL})*$`,
    maxLength: 200,
    default: 'overbend/bender',
    description: 'Of the values; events go to …/event, whether the station is there to …/station.',
  }),
  retain: Type.Boolean({
    default: false,
    description: 'The broker keeps the last value for whoever comes later.',
  }),
  login: Type.String({
    pattern: '^(OVERBEND_[A-Z0-9_]{1,60})?$',
    maxLength: 69,
    default: '',
    description:
      'Environment variable of the daemon, OVERBEND_…, with user:password; empty: without.',
  }),
  ...tapParameters,
})
export type MqttPublishParameters = Static<typeof parameters>

/** Asks for messages to a broker; the station sends them. */
export const mqttPublish = defineBlock({
  kind: 'mqtt-publish',
  summary: 'Publishes a value and events to an MQTT broker in the shop.',
  parameters,
  ...tapParts,
  objection: sendsNowhere,
})
