import { WebSocket } from 'ws'
import type { LiveMessage } from '../../server/messages/live.ts'

// Dashboards of a benchmark, in a process of their own as browsers are. What they get is looked at when the run
// is over; while it lasts they only note when it came.

export interface PagesOrder {
  readonly urls: readonly string[]
  readonly origin: string
}

/** What one page got: the arrival of each sample on the clock that all processes share, and how many were left out. */
export interface PageGot {
  readonly arrivedMs: readonly number[]
  readonly omitted: number
}

const nowMs = () => Number(process.hrtime.bigint()) / 1e6
const pages: { atMs: number; text: string }[][] = []

function open(url: string, origin: string): Promise<void> {
  const got: { atMs: number; text: string }[] = []
  pages.push(got)
  const socket = new WebSocket(url, { origin })
  socket.on('message', (data) => got.push({ atMs: nowMs(), text: String(data) }))
  return new Promise((resolve, reject) => {
    socket.once('open', () => resolve())
    socket.once('error', reject)
  })
}

function lookedAt(got: readonly { atMs: number; text: string }[]): PageGot {
  const arrivedMs: number[] = []
  let omitted = 0
  for (const { atMs, text } of got) {
    const said = JSON.parse(text) as LiveMessage
    if (said.type !== 'samples') continue
    omitted += said.omitted
    for (const _ of said.angleDeg) arrivedMs.push(atMs)
  }
  return { arrivedMs, omitted }
}

process.on('message', async (message: { open?: PagesOrder; report?: true }) => {
  const { open: order } = message
  if (order) {
    await Promise.all(order.urls.map((url) => open(url, order.origin)))
    process.send?.({ ready: true })
  }
  if (message.report) process.send?.({ pages: pages.map(lookedAt) }, () => process.exit(0))
})
