import type { SignalName } from './example-signals.ts'

/** How a block is shown in the reference, as far as its ports alone do not say it. */
export interface Shown {
  readonly parameters?: Readonly<Record<string, unknown>>
  readonly signals?: Readonly<Record<string, SignalName>>
  /** Inputs that stay unconnected. */
  readonly without?: readonly string[]
  /** Rows a second; 200 without. */
  readonly rateHz?: number
  /** Lines that come in, evenly over the time. */
  readonly lines?: readonly string[]
  /** What else comes, by input, at shares of the time. */
  readonly items?: Readonly<Record<string, readonly (readonly [share: number, item: unknown])[]>>
  /** What the station asks for, at shares of the time. */
  readonly commands?: readonly (readonly [
    share: number,
    command: Readonly<Record<string, unknown>>,
  ])[]
}

const BEND_HZ = 50
const DATUM = [0.1, { act: 'datum' }] as const
const AIM = [0.12, { act: 'aim', commandedDeg: 55, leadS: 0.1, toleranceDeg: 1 }] as const

const TAKEN = { timeS: 0.48, readoutDeg: 0 } as const
const EVENTS = [
  [0.1, [{ kind: 'datum', ...TAKEN }]],
  [0.17, [{ kind: 'bending', timeS: 0.8, stroke: 1, go: 1 }]],
  [0.72, [{ kind: 'letting-off', timeS: 3.4, peakDeg: 60, peakAtS: 2.9 }]],
  [
    0.9,
    [
      {
        ...{ kind: 'settled', timeS: 4.2, go: 1, strokes: 1, peakDeg: 60, peakAtS: 2.9 },
        ...{ releasedDeg: 57, releasedAtS: 3.8, releasedSeDeg: 0.01 },
      },
    ],
  ],
] as const

const inABend: Shown = { rateHz: BEND_HZ, commands: [DATUM, AIM], signals: { angle: 'bend' } }

/** Lines of a board as in the specification of the protocol. */
const NATIVE = [
  '$PXOBS,0,5000,0,0,,6278*68',
  '$PXOBS,1,10000,3,0,,5E09*2C',
  '$PXOBS,3,15000,6,0,,936A*2A',
  '$PXOBS,184,12034567,-1235,0,,E5BB*02',
]

/** One kind a line; a kind that is not here is shown by its ports alone. */
export const SHOWN: Readonly<Record<string, Shown>> = {
  link: { lines: ['$PXOBS,0,5000,0,0,,6278*68'] },
  decode: { lines: NATIVE },
  'decode-xdr': { lines: ['$YXXDR,A,31.5,D,ANGLE*12', '$YXXDR,A,31.5,D,ANGLE*00'] },
  'decode-number': {
    parameters: { separator: 'comma', pressureColumn: 2 },
    lines: ['31.5,142', '31.6,143', '31.x,143'],
  },
  'decode-modbus': { lines: ['MB 1 2400 1F40', 'ME 1 timeout 0'] },
  command: { lines: ['datum', 'aim 92.35 0.25 1', 'close accepted'] },
  'raw-record': { lines: ['$PXOBS,0,5000,0,0,,6278*68'] },
  clock: { signals: { counts: 'steady' } },
  'line-clock': { signals: { value: 'readings' } },
  unwrap: { signals: { counts: 'counts' } },
  scale: { signals: { counts: 'steady' } },
  degrees: { signals: { value: 'readings' } },
  pressure: {
    ...{ signals: { counts: 'raw' } },
    parameters: { zeroCounts: 200, fullCounts: 900, fullBar: 250 },
  },
  switch: { signals: { counts: 'train' } },
  tilt: { parameters: { sine: '+y', cosine: '+x' } },
  calibration: { parameters: { scale: 1.02, onceCosDeg: 2 }, signals: { angle: 'bend' } },
  'spike-guard': { signals: { angle: 'spiked' }, rateHz: BEND_HZ },
  'auto-datum': {
    ...{ ...inABend, commands: [], without: ['closed'] },
    signals: { angle: 'bend', pressure: 'load' },
  },
  datum: inABend,
  'let-off': { ...inABend, signals: { angle: 'bend', pressure: 'bar' }, without: ['closed'] },
  'join-strokes': {
    ...{ rateHz: BEND_HZ, commands: [[0.05, { act: 'datum' }]], signals: { angle: 'bites' } },
    without: ['bears', 'pressed', 'left'],
  },
  smoother: inABend,
  'bend-watch': { ...inABend, items: { datum: [[0.1, TAKEN]] } },
  'stop-cue': { ...inABend, items: { events: EVENTS } },
  'bend-record': {
    ...{ rateHz: BEND_HZ, items: { events: EVENTS } },
    commands: [DATUM, AIM, [0.95, { act: 'close', reason: 'accepted' }]],
  },
  'live-feed': inABend,
  notch: { parameters: { unit: 'deg', rateHz: 200, centreHz: 50 }, signals: { value: 'hum' } },
  'low-pass': { parameters: { unit: 'deg', rateHz: 200, cutoffHz: 8 } },
  compare: { parameters: { tolerance: 4, lastsS: 0.1 }, signals: { a: 'clean' } },
  'switch-over': { signals: { second: 'clean' } },
  threshold: { parameters: { limit: 15, hysteresis: 3 } },
  timer: { parameters: { timeS: 0.1 } },
  counter: { parameters: { preset: 3 } },
  'rate-limiter': { signals: { value: 'clean' }, parameters: { riseMax: 50, fallMax: 50 } },
  formula: { parameters: { expression: 'max(a, b) - 2*deg' }, without: ['c', 'd'] },
  'mqtt-publish': { parameters: { host: 'broker.shop.example' } },
  webhook: { parameters: { host: 'receiver.shop.example' } },
  output: { parameters: { timeToLiveS: 0.5 } },
  delay: { signals: { angle: 'clean' }, rateHz: 20 },
}
