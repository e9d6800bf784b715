import type { WebhookParameters } from '../../blocks/webhook.ts'
import { Outbox } from './outbox.ts'
import { payloadOf } from './payload.ts'
import { NotLetOut, type Tap } from './tap.ts'
import type { TapAround } from './tap-around.ts'

const WAITING_MAX = 1000
const ITEMS_A_POST = 50
const GATHER_S = 0.25
const TIMEOUT_MS = 5000
const CLOSE_WITHIN_S = 2

/** An answer that may be another one later: too busy, or a fault over there. */
const mayPass = (status: number) => status === 408 || status === 429 || status >= 500

function judge(status: number, where: string): void {
  if (status >= 200 && status < 300) return
  if (status >= 300 && status < 400)
    throw new NotLetOut(
      `${where} answers with a redirect (${status}), which is not followed: name the place itself.`,
      true,
    )
  throw new NotLetOut(`${where} refuses it (${status}).`, !mayPass(status))
}

/** Posts `{block, number, items}`; the number stays the same when a post is tried again. */
export function openWebhookTap(
  block: string,
  { host, port, path }: WebhookParameters,
  around: TapAround,
): Tap {
  let number = 1
  const outbox = new Outbox<ReturnType<typeof payloadOf>>({
    clock: around.clock,
    after: around.after,
    waitingMax: WAITING_MAX,
    batchMax: ITEMS_A_POST,
    gatherS: GATHER_S,
    async send(items) {
      const body = JSON.stringify({ block, number, items })
      const status = await around.post({ host, port, path }, body, TIMEOUT_MS)
      // What is not tried again has had its number.
      if (!mayPass(status)) number++
      judge(status, `${host}:${port}${path}`)
    },
  })
  return {
    hear: (item) => outbox.put(payloadOf(item, around.wallMsAt)),
    standing: () => outbox.standing(),
    close: () => outbox.close(CLOSE_WITHIN_S),
  }
}
