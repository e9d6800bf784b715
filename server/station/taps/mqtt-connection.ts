import { connect } from 'node:net'
import { type IClientOptions, MqttClient } from 'mqtt'
import { refuseStranger, shopLookup, unreached } from './shop-network.ts'
import { NotLetOut } from './tap.ts'

export interface Broker {
  readonly host: string
  readonly port: number
  readonly clientId: string
  readonly login: { readonly user: string; readonly password: string } | null
  /** What the broker says for us when we are gone without a word. */
  readonly will: { readonly topic: string; readonly payload: string }
}

export interface BrokerConnection {
  /** Settles when the broker has taken it, at least once (QoS 1); rejects when the connection ends before. */
  publish(topic: string, payload: string, retain: boolean): Promise<void>
  onClose(listener: () => void): void
  /** Takes leave: the last will is not told then. */
  end(): Promise<void>
  /** Breaks off. */
  drop(): void
}

/** @throws NotLetOut when the broker is not there, or refuses. */
export type ConnectBroker = (broker: Broker) => Promise<BrokerConnection>

const CONNECT_WITHIN_MS = 5000
const KEEPALIVE_S = 15
/** MQTT 3.1.1, table 3.1: what the broker answers to a CONNECT that it refuses. */
const REFUSED: Readonly<Record<number, string>> = {
  3: 'it is not ready',
  4: 'it does not know this user and password',
  5: 'it wants a user and password, or others than these',
}

const optionsOf = ({ clientId, login, will }: Broker): IClientOptions => ({
  protocolVersion: 4,
  clientId,
  clean: true,
  keepalive: KEEPALIVE_S,
  connectTimeout: CONNECT_WITHIN_MS,
  reconnectPeriod: 0,
  ...(login !== null && { username: login.user, password: login.password }),
  will: { topic: will.topic, payload: Buffer.from(will.payload), qos: 1, retain: true },
})

function explain({ host, port }: Broker, error: unknown): NotLetOut {
  const { code } = error as { code?: unknown }
  if (typeof code !== 'number') return unreached(host, port, error)
  return new NotLetOut(`The broker ${host}:${port} refuses: ${REFUSED[code] ?? `code ${code}`}.`)
}

const connectionOf = (client: MqttClient): BrokerConnection => ({
  publish: (topic, payload, retain) =>
    new Promise((resolve, reject) => {
      client.once('close', reject)
      client.publish(topic, payload, { qos: 1, retain }, (error) => {
        client.off('close', reject)
        if (error) reject(error)
        else resolve()
      })
    }),
  onClose: (listener) => void client.on('close', listener),
  end: () => client.endAsync(),
  drop: () => void client.end(true),
})

/** One try: coming back is the tap's, in whose queue all waits. */
export const connectBroker: ConnectBroker = (broker) =>
  new Promise((resolve, reject) => {
    const { host, port } = broker
    let last: unknown = new Error('it does not answer as a broker')
    const client = new MqttClient(() => {
      refuseStranger(host)
      const socket = connect({ host, port, lookup: shopLookup })
      socket.on('error', (error) => {
        last = error
      })
      return socket
    }, optionsOf(broker))
    client.on('error', (error) => {
      last = error
    })
    client.once('close', () => {
      client.end(true)
      reject(explain(broker, last))
    })
    client.once('connect', () => resolve(connectionOf(client)))
  })
