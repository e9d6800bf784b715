import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { LiveMessage } from '../../../../server/messages/live.ts'
import {
  BEHIND_BYTES,
  BEHIND_MAX_S,
  encode,
  HOPELESS_BYTES,
  makeLiveClient,
  type SamplesMessage,
} from '../../../../server/web/live-client.ts'

const samplesAt = (tS: number, count = 1): SamplesMessage => ({
  type: 'samples',
  tS: Array.from({ length: count }, (_, i) => tS + i),
  angleDeg: Array.from({ length: count }, () => 1),
  rateDegPerS: Array.from({ length: count }, () => 0),
  quality: Array.from({ length: count }, () => 0),
  cue: 'none',
  omitted: 0,
})

/** A wire that takes nothing until it is drained, and remembers what it was given. */
function makeSlowWire() {
  const queue: { bytes: number; sent: () => void }[] = []
  const given: Uint8Array[] = []
  let terminated = 0
  return {
    given,
    messages: () => given.map((data) => JSON.parse(new TextDecoder().decode(data)) as LiveMessage),
    terminated: () => terminated,
    /** Bytes that arrive in the queue from elsewhere, as pongs do. */
    clog: (bytes: number) => void queue.push({ bytes, sent: () => undefined }),
    drainOne() {
      queue.shift()?.sent()
    },
    drain() {
      while (queue.length > 0) queue.shift()?.sent()
    },
    get bufferedAmount() {
      return queue.reduce((sum, { bytes }) => sum + bytes, 0)
    },
    send(data: Uint8Array, sent: () => void) {
      given.push(data)
      queue.push({ bytes: data.byteLength, sent })
    },
    terminate() {
      terminated++
    },
  }
}

function setUp() {
  const wire = makeSlowWire()
  let nowS = 0
  const client = makeLiveClient(wire, () => nowS)
  const sample = (tS: number, count?: number) => {
    const message = samplesAt(tS, count)
    client.samples(encode(message), message)
  }
  const later = (seconds: number) => {
    nowS += seconds
  }
  return { wire, client, sample, later }
}

/** Fills the queue to just above the mark. */
const fall = ({ wire }: ReturnType<typeof setUp>) => wire.clog(BEHIND_BYTES + 1)

describe('a page that keeps up', () => {
  test('gets every sample at once, the very bytes made for all', () => {
    const { wire, client } = setUp()
    const message = samplesAt(1)
    const data = encode(message)
    client.samples(data, message)
    expect(wire.given).toEqual([data])
    expect(wire.given[0]).toBe(data)
  })

  test('gets states and samples in the order in which they were said', () => {
    const { wire, client, sample } = setUp()
    client.hello(encode(samplesAt(0)))
    sample(1)
    client.state(encode(samplesAt(2)))
    sample(3)
    const times = wire.messages().map((message) => (message as SamplesMessage).tS[0])
    expect(times).toEqual([0, 1, 2, 3])
  })

  test('may have up to the mark waiting', () => {
    const { wire, sample } = setUp()
    wire.clog(BEHIND_BYTES)
    sample(1)
    expect(wire.given).toHaveLength(1)
  })
})

describe('a page that falls behind', () => {
  test('is sent no more samples, and told afterwards how many it missed', () => {
    const page = setUp()
    fall(page)
    page.sample(1)
    page.sample(2, 3)
    page.sample(5)
    expect(page.wire.given).toHaveLength(0)
    page.wire.drain()
    page.sample(6)
    page.sample(7)
    expect(page.wire.messages()).toEqual([{ ...samplesAt(6), omitted: 5 }, samplesAt(7)])
  })

  test('keeps what the station itself had left out', () => {
    const page = setUp()
    fall(page)
    page.sample(1)
    page.wire.drain()
    const message = { ...samplesAt(2), omitted: 4 }
    page.client.samples(encode(message), message)
    expect(page.wire.messages()).toEqual([{ ...samplesAt(2), omitted: 5 }])
  })

  test('gets of all states that came meanwhile the newest, once, when it has drained', () => {
    const page = setUp()
    page.sample(0)
    fall(page)
    for (const tS of [1, 2, 3]) page.client.state(encode(samplesAt(tS)))
    expect(page.wire.given).toHaveLength(1)
    page.wire.drainOne()
    expect(page.wire.given).toHaveLength(1)
    page.wire.drain()
    page.sample(4)
    page.wire.drain()
    const times = page.wire.messages().map((message) => (message as SamplesMessage).tS[0])
    expect(times.filter((tS) => tS === 3)).toHaveLength(1)
    expect(times).not.toContain(1)
    expect(times).not.toContain(2)
  })

  test('is given up after five seconds of it', () => {
    const page = setUp()
    fall(page)
    page.sample(1)
    page.later(BEHIND_MAX_S)
    page.sample(2)
    expect(page.wire.terminated()).toBe(0)
    page.later(0.001)
    page.sample(3)
    expect(page.wire.terminated()).toBe(1)
  })

  test('is given up too when nothing is said to it meanwhile', () => {
    const page = setUp()
    fall(page)
    page.client.check()
    page.later(BEHIND_MAX_S + 1)
    page.client.check()
    expect(page.wire.terminated()).toBe(1)
  })

  test('has its five seconds anew each time it catches up', () => {
    const page = setUp()
    for (let i = 0; i < 5; i++) {
      fall(page)
      page.sample(i)
      page.later(BEHIND_MAX_S - 1)
      page.wire.drain()
      page.sample(i + 0.5)
      page.wire.drain()
    }
    expect(page.wire.terminated()).toBe(0)
  })

  test('is given up at once with more than a mebibyte waiting', () => {
    const page = setUp()
    page.wire.clog(HOPELESS_BYTES)
    page.sample(1)
    expect(page.wire.terminated()).toBe(0)
    page.wire.clog(1)
    page.sample(2)
    expect(page.wire.terminated()).toBe(1)
  })
})

describe('a long first message', () => {
  const longHello = new Uint8Array(3 * HOPELESS_BYTES)

  test('is no sign of slowness: samples go on behind it', () => {
    const { wire, client, sample } = setUp()
    client.hello(longHello)
    sample(1)
    expect(wire.given).toHaveLength(2)
    expect(wire.terminated()).toBe(0)
  })

  test('does not lift the bound on what follows it', () => {
    const page = setUp()
    page.client.hello(longHello)
    fall(page)
    page.sample(1)
    expect(page.wire.given).toHaveLength(1)
    page.later(BEHIND_MAX_S + 1)
    page.sample(2)
    expect(page.wire.terminated()).toBe(1)
  })

  test('once taken, the usual mark counts', () => {
    const page = setUp()
    page.client.hello(longHello)
    page.wire.drain()
    fall(page)
    page.sample(1)
    expect(page.wire.given).toHaveLength(1)
  })
})

test('in any order of saying and draining (seed 7): bounded, and no sample unaccounted for', () => {
  const step = fc.oneof(
    fc.record({ do: fc.constant('sample'), count: fc.integer({ min: 1, max: 400 }) }),
    fc.record({ do: fc.constant('state'), count: fc.integer({ min: 1, max: 200 }) }),
    fc.record({ do: fc.constant('drain'), count: fc.integer({ min: 1, max: 4 }) }),
  )
  const largest = encode(samplesAt(1e6, 400)).byteLength
  fc.assert(
    fc.property(fc.array(step, { maxLength: 300 }), (steps) => {
      const { wire, client, sample } = setUp()
      let said = 0
      for (const { do: act, count } of steps) {
        if (act === 'drain') for (let i = 0; i < count; i++) wire.drainOne()
        if (act === 'state')
          client.state(new TextEncoder().encode(`{"pad":"${'x'.repeat(count)}"}`))
        if (act === 'sample') {
          sample(1e5, count)
          said += count
        }
        expect(wire.bufferedAmount).toBeLessThanOrEqual(BEHIND_BYTES + largest + 300)
      }
      wire.drain()
      sample(0)
      const all = wire.messages().filter((message) => message.type === 'samples')
      const got = all.reduce((sum, { tS, omitted }) => sum + tS.length + omitted, 0)
      expect(got).toBe(said + 1)
    }),
    { seed: 7, numRuns: 200 },
  )
})
