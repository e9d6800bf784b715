/**
 * Made-up traces of a die: what it truly did, and what a noisy, quantised encoder would have sent.
 * Written from the shape of a trace alone; it shares nothing with the bend watch.
 */

/** Seeded generator (mulberry32, T. Ettinger, public domain): the same seed gives the same trace. */
export function seeded(seed: number) {
  let state = seed >>> 0
  const uniform = () => {
    state = (state + 0x6d2b79f5) >>> 0
    let mixed = state
    mixed = Math.imul(mixed ^ (mixed >>> 15), mixed | 1)
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61)
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296
  }
  return {
    uniform,
    between: (low: number, high: number) => low + (high - low) * uniform(),
    chance: (share: number) => uniform() < share,
    integer: (low: number, high: number) => low + Math.floor((high - low + 1) * uniform()),
    /** Standard normal, Box and Muller 1958. */
    normal: () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform()),
  }
}
export type Random = ReturnType<typeof seeded>

interface TrueGo {
  peakDeg: number
  peakAtS: number
  /** null when it was never let off. */
  releasedDeg: number | null
  strokes: number
}

interface Piece {
  readonly fromS: number
  readonly angleDeg: (sinceS: number) => number
}

/** What the die does, piece after piece. Angles from where it starts. */
export function dieMotion() {
  const pieces: Piece[] = []
  const goes: TrueGo[] = []
  let endS = 0
  let endDeg = 0
  let open: TrueGo | null = null

  function add(durationS: number, angleDeg: (sinceS: number) => number) {
    pieces.push({ fromS: endS, angleDeg })
    endS += durationS
    endDeg = angleDeg(durationS)
  }

  const motion = {
    rest(durationS: number) {
      const levelDeg = endDeg
      add(durationS, () => levelDeg)
      return motion
    },
    /** One stroke up to an angle; in its last `stopS` the rate falls evenly to nothing. */
    stroke(toDeg: number, rateDegPerS: number, stopS = 0, wobble = 0) {
      const fromDeg = endDeg
      const wayDeg = toDeg - fromDeg
      const slowS = Math.min(stopS, wayDeg / rateDegPerS)
      const evenS = (wayDeg - (rateDegPerS * slowS) / 2) / rateDegPerS
      add(evenS + slowS, (sinceS) => {
        const restS = evenS + slowS - sinceS
        // An arm's geometry makes the rate vary along the way; the ends stay where they are.
        const bowDeg = wobble * wayDeg * Math.sin((Math.PI * sinceS) / (evenS + slowS)) ** 2
        if (restS >= slowS) return fromDeg + rateDegPerS * sinceS + bowDeg
        return toDeg - (slowS > 0 ? (rateDegPerS * restS ** 2) / (2 * slowS) : 0) + bowDeg
      })
      open ??= { peakDeg: toDeg, peakAtS: endS, releasedDeg: null, strokes: 0 }
      if (toDeg >= open.peakDeg) Object.assign(open, { peakDeg: toDeg, peakAtS: endS })
      open.strokes += 1
      if (open.strokes === 1) goes.push(open)
      return motion
    },
    /** Stands under load while the tube relaxes by `creepDeg`. */
    hold(durationS: number, creepDeg = 0, tauS = 0.5) {
      const levelDeg = endDeg
      const whole = 1 - Math.exp(-durationS / tauS)
      add(durationS, (sinceS) =>
        whole > 0 ? levelDeg - (creepDeg * (1 - Math.exp(-sinceS / tauS))) / whole : levelDeg,
      )
      return motion
    },
    /** The load comes off; then the die stands still until `durationS` has passed. */
    letOff(springbackDeg: number, tauS: number, durationS: number) {
      const fromDeg = endDeg
      add(durationS, (sinceS) => fromDeg - springbackDeg * (1 - Math.exp(-sinceS / tauS)))
      endDeg = fromDeg - springbackDeg
      if (open) open.releasedDeg = endDeg
      open = null
      return motion
    },
    /** Turned by hand, with soft ends. */
    byHand(toDeg: number, durationS: number) {
      const fromDeg = endDeg
      add(durationS, (sinceS) => {
        const part = Math.sin((Math.PI * sinceS) / (2 * durationS)) ** 2
        return fromDeg + (toDeg - fromDeg) * part
      })
      return motion
    },
    /** A knock: up and back again. */
    bump(heightDeg: number, durationS: number) {
      const fromDeg = endDeg
      add(
        durationS,
        (sinceS) => fromDeg + heightDeg * Math.sin((Math.PI * sinceS) / durationS) ** 2,
      )
      return motion
    },
    goes,
    endS: () => endS,
    angleDeg(timeS: number): number {
      let low = 0
      let high = pieces.length - 1
      while (low < high) {
        const middle = (low + high + 1) >> 1
        if ((pieces[middle]?.fromS ?? 0) <= timeS) low = middle
        else high = middle - 1
      }
      const piece = pieces[low]
      return piece ? piece.angleDeg(timeS - piece.fromS) : 0
    },
  }
  return motion
}
export type DieMotion = ReturnType<typeof dieMotion>

export interface Sensor {
  readonly rateHz: number
  readonly noiseDeg: number
  readonly quantumDeg: number
  /** Added to every sample before it is quantised. */
  readonly shakeDeg?: (timeS: number) => number
  /** Share of samples lost. */
  readonly lost?: number
  /** Scatter of the sampling time as a share of the period. */
  readonly jitter?: number
}

export interface Sample {
  readonly timeS: number
  readonly angleDeg: number
}

/** What the encoder sends of a motion. */
export function sampled(motion: DieMotion, sensor: Sensor, random: Random): Sample[] {
  const { rateHz, noiseDeg, quantumDeg, shakeDeg, lost = 0, jitter = 0 } = sensor
  const samples: Sample[] = []
  const count = Math.floor(motion.endS() * rateHz)
  const phaseS = random.uniform() / rateHz
  for (let index = 0; index < count; index += 1) {
    const timeS = (index + jitter * (random.uniform() - 0.5)) / rateHz + phaseS
    const noisyDeg =
      motion.angleDeg(timeS) + noiseDeg * random.normal() + (shakeDeg ? shakeDeg(timeS) : 0)
    if (lost > 0 && random.chance(lost)) continue
    const angleDeg = quantumDeg > 0 ? Math.round(noisyDeg / quantumDeg) * quantumDeg : noisyDeg
    samples.push({ timeS, angleDeg })
  }
  return samples
}

/** How long the die is held at the top, seconds: the range that holds are drawn from. */
export interface HoldRange {
  readonly fromS: number
  readonly toS: number
}

/** A sensor of the family: noise of 0.03° at 200 Hz, any step up to 0.05°, some lost and uneven samples. */
function randomSensor({ between, chance }: Random): Sensor {
  return {
    rateHz: 200,
    noiseDeg: 0.03,
    quantumDeg: chance(0.2) ? 0 : between(0.001, 0.05),
    lost: chance(0.3) ? between(0, 0.05) : 0,
    jitter: between(0, 0.2),
  }
}

/** Strokes from where the die stands to the peak; between two it stands, and may relax a little. */
function randomStrokes(motion: DieMotion, fromDeg: number, peakDeg: number, random: Random): void {
  const { between, chance, integer } = random
  const strokes = fromDeg > 0 ? 1 : integer(1, Math.min(4, 1 + Math.floor(peakDeg / 4)))
  let reachedDeg = fromDeg
  for (let stroke = 1; stroke <= strokes; stroke += 1) {
    const wayDeg = (peakDeg - reachedDeg) * (stroke === strokes ? 1 : between(0.2, 0.7))
    // A hand or a valve takes a moment to stop; one stroke in five stops dead.
    const stopS = chance(0.2) ? 0 : between(0.02, 0.25)
    // The rate varies along a long way by up to a sixth, as an arm's geometry makes it do.
    const wobble = between(-0.05, 0.05) * Math.min(1, wayDeg / 30)
    motion.stroke(reachedDeg + wayDeg, between(2, 20), stopS, wobble)
    reachedDeg += wayDeg
    if (stroke === strokes) return
    const creepDeg = chance(0.5) ? between(0, 0.15) : 0
    motion.hold(between(0.6, 2), creepDeg, between(0.1, 1))
    reachedDeg -= creepDeg
  }
}

/**
 * A bend of the family that the bend watch is held to: 5° to 150° wanted, rates of 2 to 20 °/s, one to four
 * strokes, creep of up to 0.2°, springback of 0.5° to 8° with a time constant of 0.03 s to 0.3 s, a quarter
 * with a second go, a tenth with a knock before, more than half turned back by hand afterwards. After letting
 * off the die stands for at least 0.8 s: without that there is no released angle to be read.
 */
export function randomBend(random: Random, hold: HoldRange) {
  const { between, chance } = random
  const motion = dieMotion().rest(between(0.3, 2))
  if (chance(0.1)) motion.bump(between(0.3, 2.5), between(0.1, 0.6)).rest(between(0.5, 2))
  const springbackDeg = between(0.5, 8)
  const tauS = between(0.03, 0.3)
  let standsDeg = 0
  let wantedDeg = between(5, 150)
  for (let goes = chance(0.25) ? 2 : 1; goes > 0; goes -= 1) {
    const peakDeg = wantedDeg + springbackDeg
    randomStrokes(motion, standsDeg, peakDeg, random)
    const holdS = between(hold.fromS, hold.toS)
    const creepDeg = chance(0.5) ? between(0.02, 0.2) * Math.min(1, holdS) : 0
    if (holdS > 0) motion.hold(holdS, creepDeg, between(0.1, 1))
    motion.letOff(springbackDeg, tauS, 6 * tauS + between(0.8, 3))
    standsDeg = peakDeg - creepDeg - springbackDeg
    wantedDeg = standsDeg + between(1, 6)
  }
  if (chance(0.6)) motion.byHand(between(-1, 1), between(0.5, 3)).rest(between(0.5, 2))
  return { motion, samples: sampled(motion, randomSensor(random), random) }
}
