import { randomBytes } from 'node:crypto'
import type { MqttPublishParameters } from '../../blocks/mqtt-publish.ts'
import { type BrokerMessage, BrokerSession } from './broker-session.ts'
import type { Broker } from './mqtt-connection.ts'
import { Outbox } from './outbox.ts'
import { payloadOf } from './payload.ts'
import { NotLetOut, type Tap } from './tap.ts'
import type { TapAround } from './tap-around.ts'

const WAITING_MAX = 1000
const CLOSE_WITHIN_S = 2

/** @throws NotLetOut when the variable that the chain names is not there, or holds no login. */
function loginFrom(name: string, env: TapAround['env']): Broker['login'] {
  if (name === '') return null
  const text = env[name] ?? ''
  const colon = text.indexOf(':')
  if (colon < 1)
    throw new NotLetOut(
      `The daemon's environment has no ${name} with user:password: start the daemon with it.`,
    )
  return { user: text.slice(0, colon), password: text.slice(colon + 1) }
}

/** At most 23 letters and digits: every broker must take such a name (MQTT 3.1.1, 3.1.3.1). */
const newClientId = () => `overbend${randomBytes(7).toString('hex')}`

/** Publishes at QoS 1, one after the other; what waits while the broker is gone follows in its order. */
export function openMqttTap(settings: MqttPublishParameters, around: TapAround): Tap {
  const { host, port, topic, retain, login } = settings
  const presence = (station: 'here' | 'gone'): BrokerMessage => ({
    topic: `${topic}/station`,
    payload: JSON.stringify({ station }),
    retain: true,
  })
  const clientId = newClientId()
  const outbox = new Outbox<BrokerMessage>({
    clock: around.clock,
    after: around.after,
    waitingMax: WAITING_MAX,
    batchMax: 1,
    gatherS: 0,
    async send(messages) {
      for (const message of messages) await session.publish(message)
    },
  })
  const session = new BrokerSession({
    around,
    broker: () => ({
      ...{ host, port, clientId, will: presence('gone') },
      login: loginFrom(login, around.env),
    }),
    here: presence('here'),
    gone: presence('gone'),
    open: () => outbox.wake(),
  })
  return {
    hear: (item) =>
      outbox.put({
        topic: item.type === 'value' ? topic : `${topic}/event`,
        payload: JSON.stringify(payloadOf(item, around.wallMsAt)),
        retain: retain && item.type === 'value',
      }),
    standing() {
      const standing = outbox.standing()
      return { ...standing, trouble: session.trouble() ?? standing.trouble }
    },
    async close() {
      await outbox.close(CLOSE_WITHIN_S)
      await session.close(CLOSE_WITHIN_S)
    },
  }
}
