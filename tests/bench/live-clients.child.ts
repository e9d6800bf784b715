import { WebSocket } from 'ws'

// Pages of a benchmark, in a process of their own as a browser is. The messages they get begin with the
// moment at which they were sent, on the machine's monotonic clock, which all processes share.

interface Order {
  readonly url: string
  readonly origin: string
  readonly count: number
}

/** Milliseconds on the clock that both processes read. */
const nowMs = () => Number(process.hrtime.bigint()) / 1e6

/** Delays by address, ms, and how many pages have the message that is going round. */
const delays = new Map<string, number[]>()
const arrived = new Map<string, number>()

function take(url: string, text: string, count: number): void {
  const atMs = nowMs()
  const sentMs = Number.parseFloat(text.slice(text.indexOf('[') + 1))
  // A greeting and a state carry no moment; on a page's own scale no delay is a minute long.
  if (!(Math.abs(atMs - sentMs) < 60_000)) return
  delays.get(url)?.push(atMs - sentMs)
  const pages = (arrived.get(url) ?? 0) + 1
  arrived.set(url, pages % count)
  if (pages === count) process.send?.({ whole: url })
}

function open({ url, origin, count }: Order): Promise<unknown>[] {
  delays.set(url, [])
  return Array.from({ length: count }, () => {
    const socket = new WebSocket(url, { origin })
    socket.on('message', (data) => take(url, String(data), count))
    return new Promise((resolve) => socket.once('open', resolve))
  })
}

process.on('message', async (message: { open?: Order[]; report?: true }) => {
  if (message.open) {
    await Promise.all(message.open.flatMap(open))
    process.send?.({ ready: true })
  }
  if (message.report) {
    process.send?.({ delays: Object.fromEntries(delays) })
    for (const url of delays.keys()) delays.set(url, [])
  }
})
