import fc from 'fast-check'
import type { Sentence } from '../../../../firmware-protocol/codec/sentence.ts'

/** A record with the prototype that a decoded sentence has. */
const plain = <T>(model: { [K in keyof T]: fc.Arbitrary<T[K]> }) =>
  fc.record<T>(model, { noNullPrototype: true })

// The limits of SPECIFICATION.md, written down here a second time and not taken from the codec.
const uint16 = fc.integer({ min: 0, max: 65535 })
const uint32 = fc.oneof(
  fc.integer({ min: 0, max: 4294967295 }),
  fc.constantFrom(0, 1, 2147483647, 2147483648, 4294967295),
)
const int32 = fc.oneof(
  fc.integer({ min: -2147483648, max: 2147483647 }),
  fc.constantFrom(-2147483648, -1, 0, 1, 2147483647),
)
const int16 = fc.integer({ min: -32768, max: 32767 })
const flags = fc.integer({ min: 0, max: 255 })
const version = fc.integer({ min: 1, max: 99 })
const rateHz = fc.integer({ min: 1, max: 1000 })
const chars = [...'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789 ._-']
const text = (minLength: number, maxLength: number) =>
  fc.string({ unit: fc.constantFrom(...chars), minLength, maxLength })

export const sample = plain({
  kind: fc.constant('sample' as const),
  sequence: uint16,
  tickUs: uint32,
  counts: int32,
  flags,
  second: fc.option(int32, { nil: null }),
})

const answer = fc
  .oneof(
    plain({ ok: fc.constant(true), reason: fc.constant('') }),
    plain({ ok: fc.constant(false), reason: text(1, 32) }),
  )
  .chain((outcome) =>
    plain({
      kind: fc.constant('answer' as const),
      command: uint16,
      ok: fc.constant(outcome.ok),
      reason: fc.constant(outcome.reason),
    }),
  )

const identify = fc.record(
  { kind: fc.constant('identify' as const), command: uint16, protocol: version },
  { requiredKeys: ['kind', 'command'], noNullPrototype: true },
) as fc.Arbitrary<Extract<Sentence, { kind: 'identify' }>>

/** One arbitrary a kind of sentence; the type makes sure that none is forgotten. */
export const sentences: {
  readonly [K in Sentence['kind']]: fc.Arbitrary<Extract<Sentence, { kind: K }>>
} = {
  hello: plain({
    kind: fc.constant('hello' as const),
    protocol: version,
    firmware: text(1, 16),
    board: text(1, 16),
    sensor: fc.constantFrom('incremental' as const, 'absolute' as const, 'accelerometer' as const),
    countsPerTurn: fc.integer({ min: 1, max: 2147483647 }),
    rateHz,
  }),
  sample,
  axes: plain({
    kind: fc.constant('axes' as const),
    sequence: uint16,
    tickUs: uint32,
    x: int16,
    y: int16,
    z: int16,
    flags,
  }),
  status: plain({
    kind: fc.constant('status' as const),
    tickUs: uint32,
    flags,
    supplyMv: uint16,
    overruns: uint32,
    sensorErrors: uint32,
  }),
  event: plain({
    kind: fc.constant('event' as const),
    sequence: uint16,
    tickUs: uint32,
    input: fc.integer({ min: 1, max: 9 }),
    edge: fc.constantFrom('down' as const, 'up' as const),
    counts: int32,
  }),
  answer,
  'clock-reply': plain({
    kind: fc.constant('clock-reply' as const),
    command: uint16,
    receivedTickUs: uint32,
    sentTickUs: uint32,
  }),
  identify,
  'set-rate': plain({ kind: fc.constant('set-rate' as const), command: uint16, rateHz }),
  'set-output': plain({
    kind: fc.constant('set-output' as const),
    command: uint16,
    output: fc.constantFrom('buzzer' as const, 'lamp' as const, 'relay' as const),
    on: fc.boolean(),
    timeToLiveMs: fc.integer({ min: 1, max: 2000 }),
  }),
  heartbeat: plain({ kind: fc.constant('heartbeat' as const), command: uint16 }),
  'clock-query': plain({ kind: fc.constant('clock-query' as const), command: uint16 }),
}

export const anySentence: fc.Arbitrary<Sentence> = fc.oneof(...Object.values(sentences))
